// SPDX-License-Identifier: Apache-2.0
#include "exchange/forces_json.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "exchange/json_values.h"
#include "exchange/model_bodies.h"
#include "structure/check_words.h"
#include "structure/garden_frame.h"

namespace garthwright::exchange {
namespace {

using strength::Case;
using strength::Solved;

Vec3 vec(const frame::Vec3& v) { return {v[0], v[1], v[2]}; }

/// One structure's part of the document; ids begin with its number where there are several.
class Part {
 public:
  Part(const Solved& solved, std::string prefix, Json& out)
      : s_(solved), prefix_(std::move(prefix)), garden_(garden_frame(solved.structure)), out_(out) {
    for (const strength::Crossing& c : s_.model.crossings)
      if (c.tie) ties_.insert(*c.tie);
  }

  void write() {
    frame_as_it_is();
    std::vector<std::pair<std::string, const Case*>> cases;
    for (const Case& c : s_.ultimate) cases.emplace_back(fmt::format("{}U{}", prefix_, cases.size() + 1), &c);
    const std::size_t ultimate = cases.size();
    for (const Case& c : s_.equilibrium)
      cases.emplace_back(fmt::format("{}E{}", prefix_, cases.size() - ultimate + 1), &c);
    const std::set<std::size_t> governing = governing_among(cases);
    for (std::size_t i = 0; i < cases.size(); ++i) {
      combination(cases[i].first, *cases[i].second);
      if (governing.contains(i)) result(cases[i].first, *cases[i].second);
    }
    for (const strength::Loosened& l : s_.loosened)
      out_["comes_off"].push_back({{"structure", s_.structure.name},
                                   {"body", name(l.body)},
                                   {"way", direction(garden_.direction_to_world(l.way))},
                                   {"turns", l.turns},
                                   {"words", words_of(l.when, s_.structure)}});
  }

 private:
  std::string name(Body b) const {
    return b == kWall ? "wall" : b == kGround ? "ground" : instance_name(s_.structure, b);
  }
  Json place(const frame::Vec3& at) const { return exact(garden_.to_world(vec(at))); }
  Json exact(Vec3 v) const { return {fine(v.x), fine(v.y), fine(v.z)}; }
  Json turned(Vec3 v) const { return exact(garden_.direction_to_world(v)); }
  /// To a millionth: a reader adds these up.
  static double fine(double v) { return std::round(v * 1e6) / 1e6 + 0.0; }
  Json bodies(const std::array<frame::NodeIndex, 2>& nodes) const {
    return {name(s_.model.body_of[nodes[0]]), name(s_.model.body_of[nodes[1]])};
  }
  std::string link_id(std::size_t i) const { return prefix_ + "F" + std::to_string(i + 1); }
  std::string contact_id(std::size_t i) const { return prefix_ + "C" + std::to_string(i + 1); }
  std::string node_id(std::size_t i) const { return prefix_ + "N" + std::to_string(i + 1); }

  void frame_as_it_is() {
    const frame::Frame& frame = s_.model.frame;
    for (std::size_t n = 0; n < frame.nodes.size(); ++n)
      out_["nodes"].push_back(
          {{"id", node_id(n)}, {"body", name(s_.model.body_of[n])}, {"xyz_mm", place(frame.nodes[n].at_mm)}});
    for (const strength::Bar& bar : s_.model.bars) {
      const frame::Member& m = frame.members[bar.member];
      out_["members"].push_back({{"id", fmt::format("{}M{}", prefix_, bar.member + 1)},
                                 {"structure", s_.structure.name},
                                 {"piece", name(body(bar.piece))},
                                 {"ends", {node_id(m.ends[0]), node_id(m.ends[1])}},
                                 {"area_mm2", fine(m.area_mm2)},
                                 {"iy_mm4", fine(m.iy_mm4)},
                                 {"iz_mm4", fine(m.iz_mm4)},
                                 {"j_mm4", fine(m.j_mm4)},
                                 {"e_mpa", fine(m.e_mpa)},
                                 {"g_mpa", fine(m.g_mpa)},
                                 {"up", turned(vec(m.up))}});
    }
    for (std::size_t i = 0; i < s_.model.crossings.size(); ++i) {
      const strength::Crossing& c = s_.model.crossings[i];
      const frame::Link& link = frame.links[c.link];
      out_["links"].push_back({{"id", link_id(i)},
                               {"structure", s_.structure.name},
                               {"fixing", c.fixing},
                               {"item", s_.structure.fixings[static_cast<std::size_t>(c.fixing)].item},
                               {"bodies", bodies(link.nodes)},
                               {"at_mm", place(link.at_mm)},
                               {"axis", turned(vec(link.axis))},
                               {"k_along_n_mm", fine(c.tie ? frame.contacts[*c.tie].k_n_mm : link.k_along_n_mm)},
                               {"along", c.tie ? "pull" : "both"},
                               {"k_across_n_mm", fine(link.k_across_n_mm)}});
    }
    for (std::size_t i = 0; i < frame.contacts.size(); ++i) {
      if (ties_.contains(i)) continue;
      const frame::Contact& c = frame.contacts[i];
      out_["contacts"].push_back({{"id", contact_id(i)},
                                  {"structure", s_.structure.name},
                                  {"bodies", bodies(c.nodes)},
                                  {"at_mm", place(c.at_mm)},
                                  {"normal", turned(vec(c.normal))},
                                  {"k_n_mm", fine(c.k_n_mm)},
                                  {"gap_mm", fine(c.gap_mm)}});
      if (!std::isfinite(c.crushes_at_n)) continue;
      out_["contacts"].back()["crushes_at_n"] = fine(c.crushes_at_n);
      out_["contacts"].back()["crushed_n_mm"] = fine(c.crushed_n_mm);
    }
  }

  Vec3 on_link(const Case& c, const strength::Crossing& crossing) const {
    Vec3 force = vec(s_.under(c).links[crossing.link]);
    if (crossing.tie)
      force = force + s_.under(c).contacts[*crossing.tie].push_n * vec(s_.model.frame.contacts[*crossing.tie].normal);
    return force;
  }

  /// Those in which some fixing, some bar's bending or some hole has its greatest.
  std::set<std::size_t> governing_among(const std::vector<std::pair<std::string, const Case*>>& cases) const {
    std::set<std::size_t> governing;
    const auto take = [&](auto&& size) {
      double most = 0;
      std::size_t at = cases.size();
      for (std::size_t i = 0; i < cases.size(); ++i)
        if (const double s = size(*cases[i].second); s > most * (1 + 1e-9)) most = s, at = i;
      if (at < cases.size()) governing.insert(at);
    };
    for (const strength::Crossing& crossing : s_.model.crossings)
      take([&](const Case& c) { return norm(on_link(c, crossing)); });
    for (const strength::Bar& bar : s_.model.bars)
      take([&](const Case& c) {
        double most = 0;
        for (const frame::Wrench& e : s_.bar(c, bar.member).end)
          most = std::max(most, std::hypot(e.moment_nmm[1], e.moment_nmm[2]));
        return most;
      });
    for (std::size_t i = 0; i < s_.model.frame.supports.size(); ++i)
      take([&](const Case& c) { return norm(vec(s_.reaction(c, i).force_n)); });
    return governing;
  }

  void combination(const std::string& id, const Case& c) {
    Json loads = Json::array();
    const auto add = [&](Body b, const Vec3& at, Vec3 force, Vec3 moment) {
      if (norm(force) == 0 && norm(moment) == 0) return;
      Json load = {{"body", name(b)}, {"at_mm", exact(garden_.to_world(at))}, {"force_n", turned(force)}};
      if (norm(moment) > 0) load["moment_nmm"] = turned(moment);
      loads.push_back(load);
    };
    const frame::Frame& frame = s_.model.frame;
    const frame::Loads on = s_.loads(c);
    for (const frame::NodeLoad& l : on.on_nodes)
      add(s_.model.body_of[l.node], vec(frame.nodes[l.node].at_mm), vec(l.force_n), vec(l.moment_nmm));
    // A spread load by its sum, in the middle of its bar.
    std::vector<Vec3> spread(frame.members.size());
    for (const frame::MemberLoad& l : on.on_members) spread[l.member] = spread[l.member] + vec(l.uniform_n_per_mm);
    for (const strength::Bar& bar : s_.model.bars) {
      const auto& ends = frame.members[bar.member].ends;
      const Vec3 a = vec(frame.nodes[ends[0]].at_mm), b = vec(frame.nodes[ends[1]].at_mm);
      add(body(bar.piece), 0.5 * (a + b), norm(b - a) * spread[bar.member], {});
    }
    out_["combinations"].push_back({{"id", id},
                                    {"structure", s_.structure.name},
                                    {"words", words_of(c.when, s_.structure)},
                                    {"crushing", fine(on.crushing)},
                                    {"loads", std::move(loads)}});
  }

  void result(const std::string& id, const Case& c) {
    Json links = Json::array(), contacts = Json::array(), ground = Json::array();
    for (std::size_t i = 0; i < s_.model.crossings.size(); ++i)
      links.push_back({{"id", link_id(i)}, {"force_n", turned(on_link(c, s_.model.crossings[i]))}});
    for (std::size_t i = 0; i < s_.model.frame.contacts.size(); ++i)
      if (!ties_.contains(i))
        contacts.push_back({{"id", contact_id(i)}, {"push_n", fine(s_.under(c).contacts[i].push_n)}});
    for (std::size_t i = 0; i < s_.model.frame.supports.size(); ++i) {
      const frame::NodeIndex node = s_.model.frame.supports[i].node;
      // What a wall gives goes through its fixings and its face; what bears a loose foot, through its places below.
      if (s_.model.body_of[node] == kWall || s_.model.body_of[node] == kGround) continue;
      const frame::Wrench& r = s_.reaction(c, i);
      ground.push_back({{"body", name(s_.model.body_of[node])},
                        {"at_mm", place(s_.model.frame.nodes[node].at_mm)},
                        {"force_n", turned(vec(r.force_n))},
                        {"moment_nmm", turned(vec(r.moment_nmm))}});
    }
    for (std::size_t i = 0; i < s_.model.frame.links.size(); ++i) {
      const frame::Link& keeps = s_.model.frame.links[i];
      if (s_.model.body_of[keeps.nodes[0]] != kGround) continue;
      ground.push_back({{"body", name(s_.model.body_of[keeps.nodes[1]])},
                        {"at_mm", place(keeps.at_mm)},
                        {"force_n", turned(vec(s_.under(c).links[i]))},
                        {"moment_nmm", turned(Vec3{})}});
    }
    out_["results"].push_back({{"combination", id},
                               {"links", std::move(links)},
                               {"contacts", std::move(contacts)},
                               {"ground", std::move(ground)},
                               {"out_of_balance", s_.under(c).proof.out_of_balance}});
  }

  const Solved& s_;
  std::string prefix_;
  Frame garden_;
  Json& out_;
  std::set<std::size_t> ties_;
};

}  // namespace

std::string forces_json(const std::vector<Solved>& solved) {
  Json out = {{"format", 1}};
  for (const char* list : {"nodes", "members", "links", "contacts", "combinations", "results", "comes_off"})
    out[list] = Json::array();
  for (std::size_t i = 0; i < solved.size(); ++i)
    Part(solved[i], solved.size() > 1 ? fmt::format("{}.", i + 1) : "", out).write();
  // A line to each thing: short enough to read, and to compare.
  std::string text = "{\n";
  bool first = true;
  for (const auto& [key, value] : out.items()) {
    text += fmt::format("{}  \"{}\": ", first ? "" : ",\n", key);
    first = false;
    if (!value.is_array()) {
      text += value.dump();
      continue;
    }
    text += "[";
    for (std::size_t i = 0; i < value.size(); ++i) text += (i == 0 ? "\n    " : ",\n    ") + value[i].dump();
    text += value.empty() ? "]" : "\n  ]";
  }
  return text + "\n}\n";
}

}  // namespace garthwright::exchange
