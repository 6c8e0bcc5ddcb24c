// SPDX-License-Identifier: Apache-2.0
//
// The rebuild: somebody who has only plan.json sets each piece against the next by its pencil lines, and what then
// stands is the structure. Nothing here looks at a Structure but the last comparison.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <cstdlib>
#include <deque>
#include <filesystem>
#include <fstream>
#include <map>
#include <random>
#include <set>
#include <sstream>

#include "base/source_dir_for_tests.h"
#include "exchange/json_values.h"
#include "exchange/model_bodies.h"
#include "exchange/plan_json.h"
#include "marking/hands.h"
#include "structure/marks.h"

namespace garthwright::exchange {
namespace {

const std::filesystem::path kSource = source_dir();

// ---- setting by the marks -------------------------------------------------------------------------------------------

struct SidePlane {
  Vec3 point, normal;
};

/// A timber or panel as plan.json describes it: its size, and the slanting cuts of its ends.
struct Blank {
  Vec3 size;
  std::map<std::string, std::vector<SidePlane>> cuts;

  SidePlane side(const std::string& name, int cut) const {
    if (const auto found = cuts.find(name); found != cuts.end()) return found->second.at(static_cast<std::size_t>(cut));
    if (name == "start") return {{0, 0, 0}, {-1, 0, 0}};
    if (name == "edge_low") return {{0, 0, 0}, {0, -1, 0}};
    if (name == "side_low") return {{0, 0, 0}, {0, 0, -1}};
    return {size, name == "finish" ? Vec3{1, 0, 0} : name == "edge_high" ? Vec3{0, 1, 0} : Vec3{0, 0, 1}};
  }
};

Vec3 vec(const Json& json) { return {json[0], json[1], json[2]}; }

/// Where three planes meet.
Vec3 corner(const SidePlane& a, const SidePlane& b, const SidePlane& c) {
  const double det = dot(a.normal, cross(b.normal, c.normal));
  return (1 / det) *
         (dot(a.point, a.normal) * cross(b.normal, c.normal) + dot(b.point, b.normal) * cross(c.normal, a.normal) +
          dot(c.point, c.normal) * cross(a.normal, b.normal));
}

/// The same for two timbers that meet end to end.
Frame set_end_to_end(const Blank& piece, const Json& mark, const Json& with, const Blank& other);

/// The other's frame where its point `its_at` comes to `at` and its directions u, v to a, b.
Frame brought(Vec3 at, Vec3 a, Vec3 b, Vec3 its_at, Vec3 u, Vec3 v) {
  const Vec3 c = cross(a, b), w = cross(u, v);
  const auto turned = [&](Vec3 d) { return dot(d, u) * a + dot(d, v) * b + dot(d, w) * c; };
  return {at - turned(its_at), turned({1, 0, 0}), turned({0, 1, 0}), turned({0, 0, 1})};
}

/// The point of the other body in which the three sides of a seat meet, and which way its line looks. `tilt`: how far
/// the side that touches turns out of the seat about that look, radians.
struct ItsCorner {
  Vec3 at, out, before;
};
ItsCorner its_corner(const Json& with, const Blank& other, double tilt = 0) {
  SidePlane touches = other.side(with["touches"], with.value("touches_cut", 0));
  touches.point = touches.point - with.value("let_in_mm", 0.0) * touches.normal;
  const SidePlane bound = other.side(with["line"], with.value("line_cut", 0));
  const SidePlane flank = other.side(with["across"], with.value("across_cut", 0));
  const Vec3 before = unit(bound.normal - dot(bound.normal, touches.normal) * touches.normal);
  touches.point.x = with.value("let_in_at_mm", touches.point.x);
  touches.normal = std::cos(tilt) * touches.normal + std::sin(tilt) * cross(before, touches.normal);
  return {corner(touches, bound, flank), touches.normal, before};
}

/// The other body's frame, in the coordinates of the piece on which it is set by the near line of a seat.
Frame set_by(const Blank& piece, const Json& mark, const Json& with, const Blank& other) {
  // On the piece: the plane of contact, the line on it, and the point where the other's side `across` comes to it.
  const std::string on = mark["on"], from = mark["from_on"];
  SidePlane contact = piece.side(on, 0);
  contact.point = contact.point - mark.value("depth_mm", 0.0) * contact.normal;
  const SidePlane edge = piece.side(from, 0);
  const Vec3 inward = -edge.normal;
  const double lean = std::tan(mark.value("angle_deg", 0.0) * std::acos(-1.0) / 180);
  const double across = with["across_mm"];
  if (on == "start" || on == "finish") return set_end_to_end(piece, mark, with, other);
  Vec3 at = corner(contact, edge, {{mark["at_mm"], 0, 0}, {1, 0, 0}});
  at = at + across * inward + across * lean * Vec3{1, 0, 0};
  const Vec3 line = unit(inward + lean * Vec3{1, 0, 0});
  Vec3 before = cross(line, contact.normal);  // in the plane, off the line, towards the datum
  if (before.x > 0) before = -before;

  // On the other: the same point and directions, by its own sides.
  // Seen against `before`, a side that rises away from the edge turns one way or the other.
  const double tilt = mark.value("tilt_deg", 0.0) * std::acos(-1.0) / 180;
  const bool turns_on = dot(cross(before, -contact.normal), line) < 0;
  const ItsCorner its = its_corner(with, other, turns_on ? tilt : -tilt);
  return brought(at, -contact.normal, before, its.at, its.out, its.before);
}

Frame set_end_to_end(const Blank& piece, const Json& mark, const Json& with, const Blank& other) {
  const SidePlane contact = piece.side(mark["on"], 0);
  const Vec3 n = contact.normal, up = unit(Vec3{0, 0, 1} - n.z * n);
  Vec3 wide = cross(up, n);
  if (wide.y < 0) wide = -wide;
  const Vec3 at =
      corner(contact, {{0, with["across_mm"], 0}, {0, 1, 0}}, {{0, 0, mark["across_thickness_mm"]}, {0, 0, 1}});
  const double lean = mark.value("angle_deg", 0.0) * std::acos(-1.0) / 180;
  const Vec3 before = std::sin(lean) * wide - std::cos(lean) * up;
  const ItsCorner its = its_corner(with, other);
  return brought(at, -n, before, its.at, its.out, its.before);
}

Frame chained(const Frame& outer, const Frame& inner) {
  return {outer.to_world(inner.origin), outer.direction_to_world(inner.x), outer.direction_to_world(inner.y),
          outer.direction_to_world(inner.z)};
}
Frame inverted(const Frame& f) {
  return {f.to_local({0, 0, 0}), {f.x.x, f.y.x, f.z.x}, {f.x.y, f.y.y, f.z.y}, {f.x.z, f.y.z, f.z.z}};
}

struct Setting {
  std::string on, sets;
  Frame frame;  ///< of `sets`, in the coordinates of `on`
};

struct Rebuilt {
  std::map<std::string, Blank> bodies;
  std::vector<Setting> settings;
};

Rebuilt read_marks(const Json& plan) {
  Rebuilt out;
  std::map<std::string, Blank> of_mark;
  for (const Json& piece : plan["pieces"]) {
    Blank& blank = of_mark[piece["mark"]];
    blank.size = {piece["length_mm"], piece["width_mm"], piece["thickness_mm"]};
    for (const Json& machining : piece["machining"])
      if (machining["kind"] == "end_cut")
        blank.cuts[machining["end"]].push_back({vec(machining["point_mm"]), unit(vec(machining["normal"]))});
  }
  for (const Json& panel : plan["panels"])
    out.bodies["panel " + panel["name"].get<std::string>()].size = {panel["width_mm"], panel["height_mm"],
                                                                    panel["thickness_mm"]};
  for (const Json& list : plan["marking"])
    for (const Json& name : list["pieces"]) {
      EXPECT_FALSE(out.bodies.contains(name)) << name << " is there twice";
      out.bodies[name] = of_mark.at(list["mark"]);
    }
  for (const Json& list : plan["marking"])
    for (const Json& mark : list["marks"]) {
      if (!mark.contains("with") || mark["line"] != "near") continue;
      for (std::size_t i = 0; i < list["pieces"].size(); ++i) {
        if (mark["with"][i].is_null()) continue;
        const std::string on = list["pieces"][i], sets = mark["with"][i]["body"];
        out.settings.push_back({on, sets, set_by(out.bodies.at(on), mark, mark["with"][i], out.bodies.at(sets))});
      }
    }
  return out;
}

/// Every body that can be reached from the first by settings; then from the next that was not; a map for each.
std::vector<std::map<std::string, Frame>> built(const Rebuilt& given) {
  std::vector<std::map<std::string, Frame>> islands;
  std::set<std::string> standing;
  for (const auto& [first, blank] : given.bodies) {
    if (standing.contains(first)) continue;
    std::map<std::string, Frame> island{{first, Frame{}}};
    std::deque<std::string> next{first};
    while (!next.empty()) {
      const std::string at = next.front();
      next.pop_front();
      for (const Setting& s : given.settings) {
        if (s.on == at && !island.contains(s.sets)) {
          island[s.sets] = chained(island[at], s.frame);
          next.push_back(s.sets);
        } else if (s.sets == at && !island.contains(s.on)) {
          island[s.on] = chained(island[at], inverted(s.frame));
          next.push_back(s.on);
        }
      }
    }
    for (const auto& [name, frame] : island) standing.insert(name);
    islands.push_back(std::move(island));
  }
  return islands;
}

// ---- what stands ----------------------------------------------------------------------------------------------------

/// How far a corner of the body lies from where it is, when both are seen from `root`.
double off(const Frame& rebuilt, const Frame& truth, Vec3 size) {
  double most = 0;
  for (int i = 0; i < 8; ++i) {
    const Vec3 c{i & 1 ? size.x : 0, i & 2 ? size.y : 0, i & 4 ? size.z : 0};
    most = std::max(most, norm(rebuilt.to_world(c) - truth.to_world(c)));
  }
  return most;
}

/// How many groups of bodies the joints hold together.
std::size_t held_together(const Structure& s) {
  const std::vector<Body> all = solid_bodies(s);
  std::map<Body, std::size_t> group;
  for (std::size_t i = 0; i < all.size(); ++i) group[all[i]] = i;
  for (const Joint& joint : s.joints) {
    if (!group.contains(joint.a) || !group.contains(joint.b)) continue;
    const std::size_t a = group[joint.a], b = group[joint.b];
    for (auto& [body, number] : group)
      if (number == b) number = a;
  }
  std::set<std::size_t> numbers;
  for (const auto& [body, number] : group) numbers.insert(number);
  return numbers.size();
}

Plan plan_of(const Garden& garden) {
  Plan plan;
  plan.garden.structures = garden.structures;
  for (std::size_t i = 0; i < garden.structures.size(); ++i)
    for (const MarkGroup& g : marks(garden.structures[i])) {
      const Piece& p = garden.structures[i][g.pieces.front()];
      PieceRow row;
      row.mark = g.mark;
      row.structure_index = static_cast<int>(i);
      row.example = g.pieces.front();
      row.length_mm = p.length.value(), row.width_mm = p.width.value(), row.thickness_mm = p.thickness.value();
      plan.pieces.push_back(row);
    }
  plan.marking = marking::mark_out(plan.garden);
  return plan;
}

/// The greatest distance, mm, of any corner of any body from its place; says which.
double expect_rebuilt(const Structure& s) {
  const Plan plan = plan_of({{s}});
  const Rebuilt given = read_marks(Json::parse(plan_json(plan)));
  const auto islands = built(given);
  EXPECT_EQ(islands.size(), held_together(s)) << "some joint has no seat that sets it";
  std::map<std::string, Frame> truth;
  for (const Body body : solid_bodies(s)) truth[instance_name(s, body)] = frame_of(s, body);
  double worst = 0;
  for (const auto& island : islands) {
    const Frame root = truth.at(island.begin()->first), seen = island.begin()->second;
    for (const auto& [name, frame] : island) {
      const double far = off(chained(root, chained(inverted(seen), frame)), truth.at(name), given.bodies.at(name).size);
      EXPECT_LT(far, 0.1) << name;
      worst = std::max(worst, far);
    }
  }
  // And each by itself, so that no error hides in what was set another way.
  for (const Setting& each : given.settings)
    EXPECT_LT(off(chained(truth.at(each.on), each.frame), truth.at(each.sets), given.bodies.at(each.sets).size), 0.1)
        << each.sets << " on " << each.on;
  return worst;
}

// ---- jobs -----------------------------------------------------------------------------------------------------------

pattern::Shelves shelves() {
  return {{(kSource / "patterns").string(), (kSource / "tests/patterns").string()},
          {(kSource / "catalogues").string()}};
}

std::vector<std::filesystem::path> examples() {
  std::vector<std::filesystem::path> all;
  for (const auto& entry : std::filesystem::directory_iterator(kSource / "examples"))
    if (entry.path().extension() == ".toml") all.push_back(entry.path());
  std::sort(all.begin(), all.end());
  return all;
}

Result<pattern::Job> read(const std::filesystem::path& path) {
  std::stringstream text;
  text << std::ifstream(path).rdbuf();
  return pattern::parse_job(text.str(), path.string(), shelves());
}

Result<Garden> garden_of(const pattern::Job& job) {
  Garden garden;
  int letter = 0;
  for (const pattern::Order& order : job.orders) {
    auto made = pattern::build(job, order, shelves(), letter, letter);
    if (!made) return tl::unexpected(made.error());
    marking::turn_alike(made->structure);
    garden.structures.push_back(std::move(made->structure));
  }
  return garden;
}

TEST(Rebuild, EveryExampleFromItsMarksAlone) {
  for (const auto& path : examples()) {
    SCOPED_TRACE(path.filename().string());
    const auto garden = read(path).and_then(garden_of);
    ASSERT_TRUE(garden) << to_string(garden.error().front());
    for (const Structure& s : garden->structures) expect_rebuilt(s);
  }
}

/// Every other number of the order drawn anew, between two thirds and one and a half of what it was.
void draw_choices(pattern::Order& order, const std::vector<Choice>& choices, std::mt19937& random) {
  for (const Choice& choice : choices) {
    if (!choice.value || choice.most <= choice.least || random() % 2 == 0) continue;
    const double was = choice.value->value(), share = static_cast<double>(random() % 1001) / 1000;
    double value = std::clamp(was * (2.0 / 3 + share * (1.5 - 2.0 / 3)), choice.least, choice.most);
    if (was == std::round(was)) value = std::round(value);
    const auto given = std::find_if(order.choices.begin(), order.choices.end(),
                                    [&](const pattern::GivenChoice& g) { return g.name == choice.name; });
    if (given == order.choices.end())
      order.choices.push_back({choice.name, value, order.where});
    else
      given->value = value;
  }
}

// GARTHWRIGHT_REBUILDS=300 goes on for longer.
TEST(Rebuild, RandomStructuresFromTheirMarksAlone) {
  const char* asked = std::getenv("GARTHWRIGHT_REBUILDS");
  const int wanted = asked != nullptr ? std::atoi(asked) : 20;
  std::vector<std::pair<pattern::Job, Garden>> plain;
  for (const auto& path : examples()) {
    const auto job = read(path);
    ASSERT_TRUE(job);
    const auto garden = garden_of(*job);
    ASSERT_TRUE(garden);
    plain.emplace_back(*job, *garden);
  }
  std::mt19937 random(20310409);
  int done = 0, refused = 0;
  double worst = 0;
  for (std::size_t i = 0; done < wanted && refused < 20 * wanted; ++i) {
    pattern::Job job = plain[i % plain.size()].first;
    for (std::size_t part = 0; part < job.orders.size(); ++part)
      draw_choices(job.orders[part], plain[i % plain.size()].second.structures[part].choices, random);
    const auto drawn = garden_of(job);
    if (!drawn) {  // sizes that do not go together are refused with a reason
      ++refused;
      continue;
    }
    for (const Structure& s : drawn->structures) {
      std::string choices;
      for (const Choice& choice : s.choices)
        if (choice.value) choices += fmt::format(" {} = {}", choice.name, choice.value->value());
      SCOPED_TRACE(s.pattern + choices);
      worst = std::max(worst, expect_rebuilt(s));
    }
    ++done;
    if (HasFailure()) return;
  }
  EXPECT_EQ(done, wanted);
  if (asked != nullptr) fmt::print("{} rebuilt, {} refused, worst {:.4f} mm off\n", done, refused, worst);
}

}  // namespace
}  // namespace garthwright::exchange
