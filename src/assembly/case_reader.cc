// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <nlohmann/json.hpp>
#include <set>

#include "assembly/cases.h"
#include "base/parse_json.h"

namespace garthwright::assembly {
namespace {

using json = nlohmann::json;

constexpr double kFarthest = 1e6;  // mm; a kilometre
constexpr std::size_t kMostParts = 4000;
constexpr std::size_t kMostItems = 4000;

/// Thrown and caught in this file only.
struct Wrong {
  Diagnostic diagnostic;
};

/// A value and how one gets to it from the case: "pieces[2].parts[0].box".
class At {
 public:
  At(const json& value, std::string path) : value_(&value), path_(std::move(path)) {}

  [[noreturn]] void wrong(const std::string& code, const std::string& what, const std::string& cure) const {
    throw Wrong{{Severity::error, code, fmt::format("{}: {}", path_, what), cure, {}}};
  }

  const std::string& path() const { return path_; }
  const json& value() const { return *value_; }

  bool has(const char* key) const { return object().contains(key); }

  At operator[](const char* key) const {
    const json& o = object();
    const auto found = o.find(key);
    if (found == o.end()) wrong("missing-key", fmt::format("no '{}'", key), fmt::format("add '{}'", key));
    return {*found, fmt::format("{}.{}", path_, key)};
  }

  std::vector<At> list() const {
    if (!value_->is_array()) wrong("wrong-type", "is " + kind() + ", not a list", "give [ … ]");
    if (value_->size() > kMostItems) {
      wrong("too-many", fmt::format("has {} entries", value_->size()), fmt::format("at most {}", kMostItems));
    }
    std::vector<At> items;
    for (std::size_t i = 0; i < value_->size(); ++i) items.push_back({(*value_)[i], fmt::format("{}[{}]", path_, i)});
    return items;
  }

  std::vector<std::pair<std::string, At>> entries() const {
    std::vector<std::pair<std::string, At>> items;
    for (const auto& [key, value] : object().items()) items.push_back({key, At(value, path_ + "." + key)});
    return items;
  }

  std::string text() const {
    if (!value_->is_string()) wrong("wrong-type", "is " + kind() + ", not a text", "give \"…\"");
    return value_->get<std::string>();
  }

  bool yes() const {
    if (!value_->is_boolean()) wrong("wrong-type", "is " + kind() + ", not true or false", "give true or false");
    return value_->get<bool>();
  }

  double number(double least = -kFarthest, double most = kFarthest) const {
    if (!value_->is_number()) wrong("wrong-type", "is " + kind() + ", not a number", "give a number");
    const double x = value_->get<double>();
    if (!(x >= least && x <= most)) {
      wrong("out-of-range", fmt::format("is {}", x), fmt::format("give {} to {}", least, most));
    }
    return x;
  }

  double positive(double most = kFarthest) const {
    const double x = number(0, most);
    if (x == 0) wrong("out-of-range", "is 0", "give more than 0");
    return x;
  }

  int whole(int least, int most) const {
    const double x = number(least, most);
    if (x != std::floor(x)) wrong("out-of-range", fmt::format("is {}", x), "give a whole number");
    return static_cast<int>(x);
  }

  std::vector<double> numbers(std::size_t count, const char* form) const {
    const std::vector<At> items = list();
    if (items.size() != count) {
      wrong("wrong-length", fmt::format("has {} numbers", items.size()), fmt::format("give {}", form));
    }
    std::vector<double> values;
    for (const At& item : items) values.push_back(item.number());
    return values;
  }

  Vec3 point() const {
    const auto v = numbers(3, "[x, y, z]");
    return {v[0], v[1], v[2]};
  }

 private:
  const json& object() const {
    if (!value_->is_object()) wrong("wrong-type", "is " + kind() + ", not an object", "give { … }");
    return *value_;
  }
  std::string kind() const { return std::string("of type ") + value_->type_name(); }

  const json* value_;
  std::string path_;
};

// --- shapes --------------------------------------------------------------------------------------------------------

ConvexPart read_box(const At& at) {
  const auto b = at.numbers(6, "[x0, y0, z0, x1, y1, z1]");
  const auto box = make_box({b[0], b[1], b[2]}, {b[3], b[4], b[5]});
  if (!box) at.wrong("bad-shape", "the box has no volume", "give x0 < x1, y0 < y1, z0 < z1");
  return *box;
}

ConvexPart read_prism(const At& at) {
  const std::string axis = at["axis"].text();
  if (axis != "x" && axis != "y" && axis != "z") {
    at["axis"].wrong("unknown-name", fmt::format("no axis '{}'", axis), "give x, y or z");
  }
  const auto range = at["range"].numbers(2, "[from, to]");
  std::vector<std::array<double, 2>> polygon;
  for (const At& corner : at["poly"].list()) {
    const auto c = corner.numbers(2, "[a, b]");
    polygon.push_back({c[0], c[1]});
  }
  if (polygon.size() > 64) at["poly"].wrong("too-many", "has over 64 corners", "give 3 to 64");
  const auto prism = make_prism(axis[0] - 'x', std::min(range[0], range[1]), std::max(range[0], range[1]), polygon);
  if (!prism) at.wrong("bad-shape", "not a convex polygon with some length", "split it into convex parts");
  return *prism;
}

ConvexPart read_part(const At& at) {
  if (at.has("box")) return read_box(at["box"]);
  if (at.has("prism")) return read_prism(at["prism"]);
  at.wrong("missing-key", "neither 'box' nor 'prism'", "give one of them");
}

std::vector<ConvexPart> read_parts(const At& at) {
  std::vector<ConvexPart> parts;
  for (const At& part : at.list()) parts.push_back(read_part(part));
  if (parts.empty()) at.wrong("out-of-range", "is empty", "give at least one part");
  return parts;
}

Vec3 read_direction(const At& at) {
  if (at.value().is_array()) {
    const Vec3 way = at.point();
    if (norm(way) == 0) at.wrong("out-of-range", "has no length", "give a direction");
    return way;
  }
  const std::string name = at.text();
  const auto way = way_named(name);
  if (!way) at.wrong("unknown-name", fmt::format("no direction '{}'", name), "give one such as +x, -z or +y+z");
  return *way;
}

Vec3 read_down(const At& at) {
  const Vec3 way = read_direction(at);
  if (std::find(axis_ways().begin(), axis_ways().end(), way) == axis_ways().end()) {
    at.wrong("unknown-name", "not along an axis", "give +x, -x, +y, -y, +z or -z");
  }
  return way;
}

// --- pieces and fasteners ------------------------------------------------------------------------------------------

void check_new(const At& at, const std::string& id, std::set<std::string>& seen) {
  if (!seen.insert(id).second) at.wrong("twice", fmt::format("'{}' is there twice", id), "give each its own id");
}

Piece read_piece(const At& at) {
  Piece piece;
  piece.id = at["id"].text();
  piece.parts = read_parts(at["parts"]);
  if (at.has("fixed")) piece.fixed = at["fixed"].yes();
  for (const char* key : {"density", "rho"}) {
    if (at.has(key)) piece.density = at[key].positive(30000);
  }
  return piece;
}

ToolRoom read_room(const At& at, const At& tool) {
  return {at["head"].point(), read_direction(at["out"]), tool["r"].positive(), tool["len"].positive()};
}

/// Piece ids as indices.
int read_piece_id(const At& at, const Assembly& assembly) {
  const int i = piece_index(assembly, at.text());
  if (i < 0) at.wrong("unknown-name", fmt::format("no piece '{}'", at.text()), "name one of 'pieces'");
  return i;
}

std::vector<int> read_piece_ids(const At& at, const Assembly& assembly) {
  std::set<int> ids;
  for (const At& item : at.list()) ids.insert(read_piece_id(item, assembly));
  return {ids.begin(), ids.end()};
}

Fastener read_fastener(const At& at, const Assembly& assembly) {
  Fastener fastener;
  fastener.id = at["id"].text();
  fastener.joins = read_piece_ids(at["joins"], assembly);
  if (fastener.joins.empty()) at["joins"].wrong("out-of-range", "is empty", "name the pieces it holds together");
  fastener.rooms.push_back(read_room(at, at["tool"]));
  if (at.has("nut")) {
    const At nut = at["nut"];
    fastener.rooms.push_back(read_room(nut, nut.has("tool") ? nut["tool"] : at["tool"]));
  }
  return fastener;
}

/// An obstacle is a part, or something with parts.
void read_obstacle(const At& at, Site& site) {
  if (!at.has("parts")) return site.obstacles.push_back(read_part(at));
  for (ConvexPart& part : read_parts(at["parts"])) site.obstacles.push_back(std::move(part));
}

Assembly read_assembly(const At& at) {
  Assembly assembly;
  std::set<std::string> ids;
  if (at.has("pieces")) {
    for (const At& item : at["pieces"].list()) {
      assembly.pieces.push_back(read_piece(item));
      check_new(item, assembly.pieces.back().id, ids);
    }
  }
  if (at.has("ground")) assembly.site.ground = at["ground"].yes();
  if (at.has("obstacles")) {
    for (const At& item : at["obstacles"].list()) read_obstacle(item, assembly.site);
  }
  std::size_t parts = assembly.site.obstacles.size();
  for (const Piece& piece : assembly.pieces) parts += piece.parts.size();
  if (parts > kMostParts) {
    at["pieces"].wrong("too-many", fmt::format("{} parts in all", parts), fmt::format("at most {}", kMostParts));
  }
  if (at.has("fasteners")) {
    for (const At& item : at["fasteners"].list()) {
      assembly.fasteners.push_back(read_fastener(item, assembly));
      check_new(item, assembly.fasteners.back().id, ids);
    }
  }
  return assembly;
}

int read_fastener_id(const At& at, const Assembly& assembly) {
  for (std::size_t i = 0; i < assembly.fasteners.size(); ++i) {
    if (assembly.fasteners[i].id == at.text()) return static_cast<int>(i);
  }
  at.wrong("unknown-name", fmt::format("no fastener '{}'", at.text()), "name one of 'fasteners'");
}

Ways read_directions(const At& at) {
  const std::string name = at.text();
  if (name == "axis6") return axis_ways();
  if (name == "dir26") return diagonal_ways();
  at.wrong("unknown-name", fmt::format("no set of directions '{}'", name), "give axis6 or dir26");
}

// --- frames, tasks, corners, sections ------------------------------------------------------------------------------

struct NamedFrame {
  std::vector<std::string> node_names, bar_names;
  PinFrame frame;
};

int index_in(const At& at, const std::vector<std::string>& names, const char* what, const char* key) {
  const auto found = std::find(names.begin(), names.end(), at.text());
  if (found == names.end()) {
    at.wrong("unknown-name", fmt::format("no {} '{}'", what, at.text()), fmt::format("name one of '{}'", key));
  }
  return static_cast<int>(found - names.begin());
}

NamedFrame read_frame(const At& at) {
  NamedFrame named;
  const auto nodes = at["nodes"].entries();
  std::size_t dimensions = nodes.empty() ? 3 : nodes[0].second.list().size();
  if (at.has("dim")) dimensions = at["dim"].whole(2, 3);
  if (dimensions != 2 && dimensions != 3) at["nodes"].wrong("wrong-length", "neither plane nor space", "give 2 or 3");
  named.frame.dimensions = static_cast<int>(dimensions);
  for (const auto& [name, place] : nodes) {
    const auto p = place.numbers(dimensions, dimensions == 2 ? "[x, y]" : "[x, y, z]");
    named.node_names.push_back(name);
    named.frame.nodes.push_back({p[0], p[1], dimensions == 3 ? p[2] : 0});
  }
  for (const auto& [name, ends] : at["bars"].entries()) {
    const auto pair = ends.list();
    if (pair.size() != 2) ends.wrong("wrong-length", "not two nodes", "give [from, to]");
    const int a = index_in(pair[0], named.node_names, "node", "nodes");
    const int b = index_in(pair[1], named.node_names, "node", "nodes");
    if (norm(named.frame.nodes[a] - named.frame.nodes[b]) < kTouch) {
      ends.wrong("bad-shape", "the bar has no length", "join two nodes that are apart");
    }
    named.bar_names.push_back(name);
    named.frame.bars.push_back({a, b});
  }
  return named;
}

PinFrame read_mechanism_question(const At& at, const NamedFrame& named) {
  PinFrame frame = named.frame;
  frame.bars.clear();
  for (const At& item : at["bars"].list()) {
    frame.bars.push_back(named.frame.bars[index_in(item, named.bar_names, "bar", "bars")]);
  }
  if (at.has("held")) {
    for (const At& item : at["held"].list()) frame.held.push_back(index_in(item, named.node_names, "node", "nodes"));
  }
  return frame;
}

std::vector<Task> read_tasks(const At& at) {
  std::vector<Task> tasks;
  std::vector<std::string> names;
  std::set<std::string> ids;
  const std::vector<At> items = at.list();
  for (const At& item : items) {
    Task task;
    task.id = item["id"].text();
    check_new(item, task.id, ids);
    task.hours = item["h"].number(0, 1e6);
    if (item.has("hands")) task.hands = item["hands"].whole(0, 1000);
    names.push_back(task.id);
    tasks.push_back(task);
  }
  for (std::size_t i = 0; i < items.size(); ++i) {
    if (!items[i].has("after")) continue;
    for (const At& wait : items[i]["after"].list()) {
      const auto pair = wait.list();
      if (pair.size() != 2) wait.wrong("wrong-length", "not a task and a lag", "give [task, hours]");
      tasks[i].after.push_back({index_in(pair[0], names, "task", "tasks"), pair[1].number(0, 1e6)});
    }
  }
  if (const auto ring = task_in_a_ring(tasks)) {
    at.wrong("ring", fmt::format("'{}' waits for itself, by way of others", tasks[*ring].id), "break the ring");
  }
  return tasks;
}

ScrewedPortal read_portal(const At& at) {
  return {at["rho_m"].positive(), at["d"].positive(),      at["spacing"].positive(),
          at["h"].positive(),     at["screws"].positive(), at["push"].number(0, 1e9)};
}

/// "h/100", or millimetres.
double read_sway_limit(const At& at, double height) {
  if (at.value().is_number()) return at.positive();
  const std::string text = at.text();
  char* end = nullptr;
  const double share = text.rfind("h/", 0) == 0 ? std::strtod(text.c_str() + 2, &end) : 0;
  if (!(share > 0) || !std::isfinite(share) || *end) {
    at.wrong("unknown-name", fmt::format("cannot read '{}'", text), "give it as h/100, or in mm");
  }
  return height / share;
}

Rectangle read_rectangle(const At& at) {
  const auto r = at.numbers(4, "[y0, z0, y1, z1]");
  if (!(r[0] < r[2] && r[1] < r[3])) at.wrong("bad-shape", "has no area", "give y0 < y1 and z0 < z1");
  return {r[0], r[1], r[2], r[3]};
}

Section read_section(const At& at) {
  Section section;
  section.panel = read_rectangle(at["panel"]);
  for (const At& item : at["static"].list()) section.still.push_back(read_rectangle(item));
  return section;
}

// --- questions -----------------------------------------------------------------------------------------------------

DrivableQuestion read_drivable(const At& at, const Assembly& assembly) {
  DrivableQuestion q;
  q.fastener = read_fastener_id(at["f"], assembly);
  q.with = read_piece_ids(at["with"], assembly);
  if (at.has("down")) q.down = read_down(at["down"]);
  if (at.has("on_site")) q.on_site = at["on_site"].yes();
  return q;
}

StateQuestion read_state(const At& at, const At& whole_case, const Assembly& assembly) {
  StateQuestion q;
  q.placed = read_piece_ids(at["placed"], assembly);
  if (q.placed.empty()) at["placed"].wrong("out-of-range", "is empty", "name at least one piece");
  if (at.has("down")) q.down = read_down(at["down"]);
  if (at.has("share")) q.share = at["share"].number(0, 1);
  if (at.has("height")) q.limit_kg = whole_case["limits"][at["height"].text().c_str()].positive();
  return q;
}

template <class Read>
auto read_each(const At& at, Read read) {
  std::vector<decltype(read(at))> list;
  for (const At& item : at.list()) list.push_back(read(item));
  return list;
}

void read_ask(const At& at, Case& c) {
  const At ask = at["ask"];
  for (const auto& [key, value] : ask.entries()) {
    if (key == "plan") {
      c.ask.plan = value.yes();
    } else if (key == "first_removable") {
      c.ask.first_removable = value.yes();
    } else if (key == "sway") {
      c.ask.sway = value.yes();
    } else if (key == "tilt") {
      c.ask.tilt = value.yes();
    } else if (key == "drivable") {
      c.ask.drivable = read_each(value, [&](const At& q) { return read_drivable(q, c.assembly); });
    } else if (key == "min_turns") {
      TurnsQuestion form;
      if (at.has("final_down")) form.final_down = read_down(at["final_down"]);
      c.ask.min_turns = read_each(value, [&](const At& q) {
        TurnsQuestion turns = form;
        if (q.has("from")) turns.first_down = read_down(q["from"]);
        return turns;
      });
    } else if (key == "states") {
      c.ask.states = read_each(value, [&](const At& q) { return read_state(q, at, c.assembly); });
    } else if (key == "mechanisms") {
      const NamedFrame frame = read_frame(at);
      c.ask.mechanisms = read_each(value, [&](const At& q) { return read_mechanism_question(q, frame); });
    } else if (key == "makespan") {
      c.ask.makespan_workers = read_each(value, [&](const At& q) { return q["workers"].whole(1, 1000); });
    } else {
      value.wrong("unknown-key", "nothing of that name can be asked",
                  "ask for plan, first_removable, drivable, min_turns, states, mechanisms, makespan, sway or tilt");
    }
  }
  const bool about_pieces = c.ask.plan || c.ask.first_removable || c.ask.min_turns;
  if (about_pieces && c.assembly.pieces.empty()) at.wrong("missing-key", "no 'pieces'", "add 'pieces'");
  if (c.ask.makespan_workers) c.tasks = read_tasks(at["tasks"]);
  if (c.ask.sway) {
    c.portal = read_portal(at);
    c.sway_limit_mm = read_sway_limit(at["limit"], c.portal.height_mm);
  }
  if (c.ask.tilt) c.section = read_section(at);
}

// --- sample plans --------------------------------------------------------------------------------------------------

Step read_step(const At& at, const Assembly& assembly) {
  if (at.has("drive")) {
    Drive drive{read_fastener_id(at["drive"], assembly)};
    if (at.has("down")) drive.down = read_down(at["down"]);
    if (at.has("on_site")) drive.on_site = at["on_site"].yes();
    return drive;
  }
  Move move{read_piece_ids(at["move"], assembly), read_piece_ids(at["to"], assembly), {}, {}};
  if (at.has("path")) {
    for (const At& leg : at["path"].list()) move.path.push_back(leg.point());
    if (move.path.empty()) at["path"].wrong("out-of-range", "is empty", "give at least one shift, or 'dir'");
  } else {
    move.way_in = read_direction(at["dir"]);
  }
  return move;
}

SamplePlan read_plan(const At& at, const Assembly& assembly) {
  SamplePlan plan;
  if (at.has("name")) plan.name = at["name"].text();
  plan.valid = at["valid"].yes();
  if (at.has("why")) plan.why = at["why"].text();
  for (const At& step : at["steps"].list()) plan.steps.push_back(read_step(step, assembly));
  return plan;
}

Case read_case(const At& at) {
  Case c;
  c.id = at["id"].text();
  c.assembly = read_assembly(at);
  if (at.has("directions")) c.directions = read_directions(at["directions"]);
  read_ask(at, c);
  if (at.has("plans")) {
    for (const At& plan : at["plans"].list()) c.plans.push_back(read_plan(plan, c.assembly));
  }
  return c;
}

}  // namespace

Result<std::vector<Case>> read_cases(std::string_view text, const std::string& file_name) {
  const Result<json> parsed = parse_json<json>(text, file_name);
  if (!parsed) return tl::unexpected(parsed.error());
  const json& file = *parsed;
  std::vector<Case> cases;
  Diagnostics wrong;
  std::set<std::string> ids;
  std::vector<At> items;
  try {
    items = At(file, "file")["cases"].list();
  } catch (Wrong& w) {
    w.diagnostic.where.file = file_name;
    return tl::unexpected(Diagnostics{w.diagnostic});
  }
  for (std::size_t i = 0; i < items.size(); ++i) {
    const json& value = items[i].value();
    const bool named = value.is_object() && value.contains("id") && value["id"].is_string();
    const std::string name = named ? "case " + value["id"].get<std::string>() : fmt::format("case number {}", i + 1);
    try {
      const At at(value, name);
      cases.push_back(read_case(at));
      check_new(at, cases.back().id, ids);
    } catch (Wrong& w) {
      w.diagnostic.where.file = file_name;
      wrong.push_back(w.diagnostic);
    }
  }
  if (!wrong.empty()) return tl::unexpected(wrong);
  return cases;
}

}  // namespace garthwright::assembly
