// SPDX-License-Identifier: Apache-2.0
#include "sequence/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace garthwright::sequence {
namespace {

template <class... F>
struct Overloaded : F... {
  using F::operator()...;
};

/// Entries in the order they first came, with what was added up under each.
template <class Value>
class FirstCome {
 public:
  Value& operator[](const std::string& key) {
    for (auto& [k, v] : entries_)
      if (k == key) return v;
    entries_.push_back({key, Value{}});
    return entries_.back().second;
  }
  const std::vector<std::pair<std::string, Value>>& entries() const { return entries_; }

 private:
  std::vector<std::pair<std::string, Value>> entries_;
};

std::string capital(std::string text) {
  if (!text.empty()) text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
  return text;
}

struct Told {
  enum class Kind { bring, drive, other } kind = Kind::other;
  std::string noun, where, text;
  std::size_t count = 0;
  std::set<std::string> marks;
  std::vector<std::string> which;
  const Fixing* fixing = nullptr;
};

class Teller {
 public:
  Teller(const Kit& kit, const std::vector<const Unit*>& units, LengthStyle style)
      : kit_(kit), structure_(*kit.structure), units_(units), style_(style) {}

  void tell(Stage& stage) {
    FirstCome<Told> told;
    std::set<std::string> adds;
    FirstCome<FixingCount> fixings;
    std::vector<std::size_t> prepared;
    std::vector<int> dug, filled;
    for (const Step& step : stage.steps) {
      std::visit(Overloaded{
                     [&](const Prepare& s) { prepared.push_back(static_cast<std::size_t>(s.piece.index)); },
                     [&](const Dig& s) { dug.push_back(s.footing); },
                     [&](const Turn& s) { turn(stage, told, s); },
                     [&](const Bring& s) { bring(stage, told, s, adds); },
                     [&](const Drive& s) {
                       const Fixing& f = structure_.fixings[static_cast<std::size_t>(s.fixing)];
                       Told& t = told["drive " + f.item + s.tool];
                       t.kind = Told::Kind::drive;
                       t.noun = f.item;
                       t.where = s.tool;
                       t.fixing = &f;
                       ++t.count;
                       FixingCount& c = fixings[f.item + "/" + s.tool];
                       c.item = f.item;
                       c.tool = s.tool;
                       c.pilot = f.pilot;
                       c.clearance = f.clearance;
                       ++c.count;
                     },
                     [&](const Brace& s) { brace(told, s); },
                     [&](const Unbrace&) { ++count_of(told, "unbrace", "temporary batten"); },
                     [&](const Prop& s) { prop(told, s); },
                     [&](const Unprop& s) {
                       const bool standing = is_standing(s.bodies);
                       if (const Swing* swing = leaf_of(s.bodies)) {
                         // A leaf that was put together in its opening is hung when all of it is there.
                         if (s.bodies.size() < swing->leaf.size()) hang(told, *swing);
                         count_of(told, "unwedge", "");
                       } else {
                         ++count_of(told, standing ? "unstrut" : "unprop",
                                    standing ? "pair of struts" : "temporary rest");
                       }
                     },
                     [&](const Plumb&) { count_of(told, "plumb", ""); },
                     [&](const Fill& s) { filled.push_back(s.footing); },
                     [&](const Wait& s) { stage.wait_h = std::max(stage.wait_h, s.hours); },
                     [&](const CutHeads& s) { cut_heads(stage, s); },
                 },
                 step);
    }
    prepare(stage, prepared);
    dig(stage, dug);
    // On the site each thing is fixed as it goes in: first what goes in, then by what it is held.
    const bool on_site = !stage.motions.empty() && stage.motions.front().at == kSite;
    for (const bool first : {true, false})
      for (const auto& [key, t] : told.entries())
        if ((t.kind == Told::Kind::bring || !on_site) == first) say(stage, key, t);
    fill(stage, filled);
    if (stage.wait_h > 0)
      stage.actions.push_back(fmt::format(
          "Leave it {:g} h to set before anything rests on the posts; what the bag says goes first.", stage.wait_h));
    stage.adds.assign(adds.begin(), adds.end());
    for (const auto& [key, c] : fixings.entries()) stage.fixings.push_back(c);
  }

 private:
  static std::size_t& count_of(FirstCome<Told>& told, const std::string& key, const std::string& noun) {
    told[key].noun = noun;
    return told[key].count;
  }

  bool is_standing(const std::vector<Body>& bodies) const {
    return std::any_of(bodies.begin(), bodies.end(),
                       [&](Body b) { return kit_.footing[static_cast<std::size_t>(kit_.index(b))] >= 0; });
  }

  const Unit* unit_at(Workplace at) const {
    return at >= 1 && static_cast<std::size_t>(at) <= units_.size() ? units_[static_cast<std::size_t>(at) - 1]
                                                                    : nullptr;
  }

  std::string unit_name(Workplace at) const {
    const Unit* u = unit_at(at);
    return u != nullptr ? u->name : "sub-assembly";
  }

  void cut_heads(Stage& stage, const CutHeads& s) const {
    std::set<std::string> marks;
    for (const PieceId id : s.posts) marks.insert(structure_[id].mark);
    stage.actions.push_back(fmt::format(
        "Carry one level round all the posts ({}) with a water level or a laser, measured down from it to the ground "
        "line of the drawing; mark all four faces of each head, saw, and seal the cut.",
        listed({marks.begin(), marks.end()})));
    stage.actions.emplace_back("Strike the lines of what comes to the posts from this level too, not from the ground.");
  }

  void turn(Stage& stage, FirstCome<Told>& told, const Turn& s) {
    const bool over = !laid_.insert(s.at).second;
    down_[s.at] = s.down;
    if (over) ++stage.turns;
    Told& t = told[over ? "turn" : "lay"];
    const Unit* of = unit_at(s.at);
    t.text = of != nullptr && of->whole && s.down.z > 0.9
                 ? "Work upside down on blocks, on level ground beside its place"
                 : "Work on trestles";
    t.which.push_back(over ? unit_name(s.at)
                           : fmt::format("the {} with its {} underneath", unit_name(s.at), face(s.down)));
  }

  void bring(Stage& stage, FirstCome<Told>& told, const Bring& s, std::set<std::string>& adds) {
    stage.people = std::max(stage.people, s.people);
    stage.lift_kg = std::max(stage.lift_kg, s.kg);
    stage.motions.push_back({s.bodies, s.to, s.way});
    if (s.from >= 0) {
      Told& t = told[std::string(is_standing(s.bodies) ? "stand" : "carry") + comes_from(s.way)];
      t.kind = Told::Kind::bring;
      t.where = comes_from(s.way);
      t.which.push_back("the " + unit_name(s.from));
      t.text = is_standing(s.bodies) ? "Stand up" : "Carry up";
      if (const Unit* u = unit_at(s.from); u != nullptr && u->whole)
        t.text = is_standing(s.bodies) ? "Turn on to its feet, carry over the holes and let down"
                                       : "Turn on to its feet and carry to its place";
      ++t.count;
      return;
    }
    const Body b = s.bodies.front();
    const std::string noun = b.kind == Body::Kind::piece ? structure_[PieceId{b.index}].name : "panel";
    const std::string mark =
        b.kind == Body::Kind::piece ? structure_[PieceId{b.index}].mark : structure_[PanelId{b.index}].name;
    adds.insert(mark);
    const std::string where = s.to == kSite ? comes_from(s.way) : comes_off_site(s);
    Told& t = told["bring " + noun + where];
    t.kind = Told::Kind::bring;
    t.noun = noun;
    t.where = where;
    t.text = s.to != kSite ? "Lay" : is_standing(s.bodies) ? "Stand" : "Put in";
    t.marks.insert(mark);
    ++t.count;
  }

  /// On trestles directions are told as things lie there.
  std::string comes_off_site(const Bring& s) const {
    const auto down = down_.find(s.to);
    if (down == down_.end()) return comes_from(s.way);
    return dot(s.way, down->second) > 0.9 ? "from above" : "from the side";
  }

  void brace(FirstCome<Told>& told, const Brace& s) {
    const Unit* u = unit_at(s.at);
    Told& t = told["brace"];
    t.which.push_back(unit_name(s.at));
    if (u != nullptr) {
      t.text = fmt::format("unbraced its top would sway {} under 100 N",
                           u->sway_mm > 1000 ? std::string("without limit") : fmt::format("{:.0f} mm", u->sway_mm));
    }
  }

  /// The swing that these bodies hang on; none where they are no leaf.
  const Swing* leaf_of(const std::vector<Body>& bodies) const {
    for (const Swing& swing : structure_.swings)
      for (const Body b : bodies)
        if (std::find(swing.leaf.begin(), swing.leaf.end(), b) != swing.leaf.end()) return &swing;
    return nullptr;
  }

  void prop(FirstCome<Told>& told, const Prop& s) {
    const Swing* swing = leaf_of(s.bodies);
    if (swing != nullptr && s.bodies.size() == swing->leaf.size())
      hang(told, *swing);
    else
      ++count_of(told, is_standing(s.bodies) ? "strut" : "prop", "");
  }

  /// Once for each leaf, with the heights of its hinges.
  void hang(FirstCome<Told>& told, const Swing& swing) {
    Told& t = told["hang"];
    if (!t.marks.insert(swing.name).second) return;
    t.count += swing.levels.size();
    for (const double level : swing.levels) {
      const std::string height = format_length(level, style_);
      if (std::find(t.which.begin(), t.which.end(), height) == t.which.end()) t.which.push_back(height);
    }
  }

  void prepare(Stage& stage, const std::vector<std::size_t>& pieces) const {
    if (pieces.empty()) return;
    std::set<std::string> marks;
    for (const std::size_t i : pieces) marks.insert(structure_.pieces[i].mark);
    stage.actions.push_back(fmt::format("Mark out, cut and machine {}: {}.", counted(pieces.size(), "piece"),
                                        listed({marks.begin(), marks.end()})));
    stage.actions.emplace_back("Brush end-grain preservative on every cut, notch and hole; let it dry.");
  }

  void dig(Stage& stage, const std::vector<int>& footings) const {
    std::map<std::tuple<double, double, double>, std::size_t> sizes;
    for (const int f : footings) {
      const Footing& hole = structure_.footings[static_cast<std::size_t>(f)];
      ++sizes[{hole.diameter, hole.depth, hole.gravel}];
    }
    for (const auto& [size, count] : sizes) {
      const auto& [diameter, depth, gravel] = size;
      std::string words = fmt::format("Set out and dig {}, {} across and {} deep", counted(count, "hole"),
                                      format_length(diameter, style_), format_length(depth, style_));
      if (gravel > 0)
        words += fmt::format("; ram {} of gravel into {}", format_length(gravel, style_), count > 1 ? "each" : "it");
      stage.actions.push_back(words + ".");
    }
    const bool shoes = std::any_of(footings.begin(), footings.end(), [&](int f) { return on_shoe(f); });
    if (shoes)
      stage.actions.emplace_back(
          "Fix the shoes to the feet of their posts; lay battens across each hole that carry the shoe at its height.");
  }

  bool on_shoe(int footing) const { return !structure_.footings[static_cast<std::size_t>(footing)].shoe.empty(); }

  void fill(Stage& stage, const std::vector<int>& footings) const {
    std::map<std::pair<std::string, bool>, std::size_t> fills;
    for (const int f : footings) ++fills[{structure_.footings[static_cast<std::size_t>(f)].fill, on_shoe(f)}];
    for (const auto& [what, count] : fills)
      stage.actions.push_back(fmt::format(
          "Check plumb once more, then fill {} with {}{}; slope the top away from the {}.", counted(count, "hole"),
          what.first, what.second ? " about the foot of the shoe" : "", what.second ? "shoe" : "post"));
  }

  void say(Stage& stage, const std::string& key, const Told& t) const {
    std::string words;
    if (t.kind == Told::Kind::drive) {
      words = fmt::format("Drive {} × {} ({})", t.count, t.noun, t.where);
      if (is_bolt(t.fixing->kind)) {
        words = fmt::format("Drill {} and tighten {} × {} ({})", format_length(t.fixing->clearance, style_), t.count,
                            t.noun, t.where);
      } else if (t.fixing->pilot > 0) {
        words += fmt::format(", pilot {}", format_length(t.fixing->pilot, style_));
      }
    } else if (t.kind == Told::Kind::bring) {
      if (!t.which.empty())
        words = fmt::format("{} {}, {}", t.text, listed(t.which), t.where);
      else
        words = fmt::format("{} {} ({}), {}", t.text, counted(t.count, t.noun),
                            listed({t.marks.begin(), t.marks.end()}), t.where);
    } else if (key == "turn") {
      words = fmt::format("Turn the {} over", listed(t.which));
    } else if (key == "lay") {
      words = fmt::format("{}: {}", t.text, listed(t.which));
    } else if (key == "brace") {
      words = fmt::format(
          "Check the diagonals are equal, then screw a temporary batten from corner to corner of the {}: {}",
          listed(t.which), t.text);
    } else if (key == "strut") {
      words = "Strut what stands in the holes both ways before you let go";
    } else if (key == "prop") {
      words = fmt::format("Set {} until its fixings are in", counted(t.count, "temporary rest"));
    } else if (key == "hang") {
      words = fmt::format(
          "Wedge it in its opening on packers, level and with even gaps; screw {} to it, their middles {} above the "
          "ground, then to the post",
          counted(t.count, "hinge"), listed(t.which));
    } else if (key == "unwedge") {
      words = "Knock the packers out and see that it swings and shuts; fix the latch last";
    } else if (key == "unstrut" || key == "unprop" || key == "unbrace") {
      words = fmt::format("Take {} away", counted(t.count, t.noun));
    } else if (key == "plumb") {
      words = "Plumb every post both ways and check the distances between them at foot and head, and the diagonals";
    }
    if (!words.empty()) stage.actions.push_back(capital(words) + ".");
  }

  /// What people call the side of the finished structure that looks along `way`.
  static std::string face(Vec3 way) {
    if (std::abs(way.z) > 0.9) return way.z > 0 ? "top" : "underside";
    if (std::abs(way.x) > 0.9) return way.x > 0 ? "right face" : "left face";
    return way.y > 0 ? "back" : "front";
  }

  const Kit& kit_;
  const Structure& structure_;
  const std::vector<const Unit*>& units_;
  LengthStyle style_;
  std::set<Workplace> laid_;
  std::map<Workplace, Vec3> down_;
};

}  // namespace

std::string comes_from(Vec3 way) {
  std::vector<std::string> words;
  constexpr double kLittle = 0.05;
  if (way.z < -0.999) return "from above";
  if (way.z > 0.999) return "from below";
  if (std::abs(way.y) > kLittle) words.emplace_back(way.y > 0 ? "front" : "back");
  if (std::abs(way.x) > kLittle) words.emplace_back(way.x > 0 ? "left" : "right");
  std::string text = "from the " + (words.size() == 2 ? words[0] + " and the " + words[1]
                                    : words.empty()   ? "side"
                                                      : words[0]);
  if (way.z < -kLittle) text += " and above";
  if (way.z > kLittle) text += " and below";
  return text;
}

std::string mass_told(double kg, LengthStyle style) {
  constexpr double kKgPerPound = 0.45359237;
  if (style.units == Units::feet_inches) return fmt::format("{:.0f} lb", kg / kKgPerPound);
  return fmt::format("{:.0f} kg", kg);
}

std::string counted(std::size_t count, const std::string& noun) {
  if (count == 1) return "1 " + noun;
  if (noun == "pair of struts") return fmt::format("{} pairs of struts", count);
  return fmt::format("{} {}s", count, noun);
}

std::string listed(const std::vector<std::string>& words) {
  std::string text;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (i > 0) text += i + 1 == words.size() ? " and " : ", ";
    text += words[i];
  }
  return text;
}

void describe(std::vector<Stage>& stages, const Kit& kit, const std::vector<const Unit*>& units, LengthStyle style) {
  Teller teller(kit, units, style);
  int number = 0;
  for (Stage& stage : stages) {
    stage.number = ++number;
    teller.tell(stage);
  }
}

}  // namespace garthwright::sequence
