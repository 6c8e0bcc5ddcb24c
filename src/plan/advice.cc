// SPDX-License-Identifier: Apache-2.0
#include "plan/advice.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>

#include "pattern/described.h"
#include "plan/standing.h"

namespace garthwright {
namespace {

constexpr int kMoreFixings = 4;     // beside those that are there
constexpr int kLargerSections = 3;  // tried of each kind
constexpr double kBraceLeg = 450;   // mm, where there is no brace
constexpr double kHelps = 1;        // use of a check that passes

/// A structure with one thing changed, and what its checks then say.
struct Trial {
  std::string words;  ///< "post 6x6 instead of 4x4"
  std::map<CheckKey, double> use;
};

class Adviser {
 public:
  Adviser(const Plan& plan, const pattern::Shelves& shelves) : plan_(plan), shelves_(shelves) {
    Diagnostics ignored;
    for (const pattern::PatternInfo& info :
         pattern::describe_patterns(pattern::patterns_of(plan.job), shelves, &plan.job.yard, plan.style, ignored))
      for (const pattern::ChoiceInfo& c : info.choices)
        if (c.unit == "section") section_choices_[info.name].push_back(c.name);
  }

  std::string advice(const Check& check) {
    const auto index = static_cast<std::size_t>(check.part.index);
    if (check.kind == CheckKind::joint) return with_more_fixings(check, index);
    if (check.kind == CheckKind::row || check.kind == CheckKind::spacing || check.kind == CheckKind::corrosion)
      return {};  // their own line says what to do
    if (scope_of(check.kind) == CheckScope::part) {
      if (const auto t = with_choice(index, "brace_leg", kBraceLeg); t && passes(*t, check)) return say(*t, check);
      return with_sections(check, index, last_post(plan_.structures[index]));
    }
    return check.subjects.empty() ? "" : with_sections(check, index, PieceId{check.subjects.front().index});
  }

 private:
  CheckKey key(const Check& check) const {
    return key_of(check, plan_.structures[static_cast<std::size_t>(check.part.index)]);
  }
  bool passes(const Trial& t, const Check& check) const {
    const auto found = t.use.find(key(check));
    return found != t.use.end() && found->second <= kHelps;
  }
  std::string say(const Trial& t, const Check& check) const {
    return fmt::format("{} would do: {:.0f} % used", t.words, 100 * t.use.at(key(check)));
  }

  /// Whether there is time for trials yet.
  bool may_try() const { return trials_ < kMostTrials; }

  std::string with_more_fixings(const Check& check, std::size_t index) {
    for (int more = 1; more <= kMoreFixings; ++more) {
      const std::optional<Trial> t = with_fixings(index, check, more);
      if (!t) return {};
      if (passes(*t, check)) return say(*t, check);
    }
    return "even four more of this fixing are not enough here: bolts or steel brackets, shorter spans, more shelter or "
           "a "
           "lighter climber";
  }

  static PieceId last_post(const Structure& s) {
    PieceId post;
    for (std::size_t p = 0; p < s.pieces.size(); ++p)
      if (is_founded(s, PieceId{static_cast<int>(p)})) post = PieceId{static_cast<int>(p)};
    return post;
  }

  /// Larger sections for a piece; nothing for none.
  std::string with_sections(const Check& check, std::size_t index, PieceId piece) {
    if (!piece) return {};
    const Structure& s = plan_.structures[index];
    const timber::Section& now = s[s[piece].section];
    for (const Choice& choice : s.choices) {
      const auto& names = section_choices_[s.pattern];
      if (choice.text != now.name || std::find(names.begin(), names.end(), choice.name) == names.end()) continue;
      for (const timber::Section* larger : larger_than(now)) {
        const auto t = with_choice(index, choice.name, larger->name);
        if (t && passes(*t, check)) return say(*t, check);
      }
    }
    if (!may_try()) return {};
    return "no larger section that this yard sells is enough by itself: shorter spans, more shelter or a lighter "
           "climber";
  }

  std::vector<const timber::Section*> larger_than(const timber::Section& now) const {
    std::vector<const timber::Section*> found;
    for (const timber::Section& s : plan_.job.yard.sections) {
      const bool as_wide = s.width_mm >= now.width_mm - 0.5 && s.thickness_mm >= now.thickness_mm - 0.5;
      if (as_wide && s.width_mm * s.thickness_mm > now.width_mm * now.thickness_mm + 1) found.push_back(&s);
    }
    std::sort(found.begin(), found.end(), [](const auto* a, const auto* b) {
      return a->width_mm * a->thickness_mm < b->width_mm * b->thickness_mm;
    });
    if (found.size() > kLargerSections) found.resize(kLargerSections);
    return found;
  }

  std::optional<Trial> with_choice(std::size_t index, const std::string& name,
                                   std::variant<double, std::string, bool, pattern::Points> value) {
    if (plan_.structures.size() < plan_.job.orders.size()) return std::nullopt;  // some share posts
    const Choice* now = nullptr;
    for (const Choice& c : plan_.structures[index].choices)
      if (c.name == name) now = &c;
    if (now == nullptr) return std::nullopt;
    const bool number = std::holds_alternative<double>(value);
    const std::string to = number ? format_length(std::get<double>(value), plan_.style) : std::get<std::string>(value);
    const std::string words = fmt::format("{} {} instead of {}", name, to,
                                          now->value ? format_length(now->value->value(), plan_.style) : now->text);
    return run(index, words, [&]() -> std::optional<Structure> {
      pattern::Job job = plan_.job;
      pattern::Order& order = job.orders[index];
      std::erase_if(order.choices, [&](const pattern::GivenChoice& c) { return c.name == name; });
      order.choices.push_back({name, value, order.where});
      int letter = 0;
      auto built = pattern::build(job, order, shelves_, 0, letter);
      if (!built) return std::nullopt;
      // The marks of one structure among several keep their letters only when nothing is added: compare by place.
      Structure changed = std::move(built->structure);
      return changed.pieces.size() == plan_.structures[index].pieces.size() ? relettered(std::move(changed), index)
                                                                            : std::optional(std::move(changed));
    });
  }

  /// The same pieces under the marks that they have now.
  Structure relettered(Structure changed, std::size_t index) const {
    for (std::size_t p = 0; p < changed.pieces.size(); ++p)
      changed.pieces[p].mark = plan_.structures[index].pieces[p].mark;
    return changed;
  }

  std::optional<Trial> with_fixings(std::size_t index, const Check& check, int more) {
    const Structure& s = plan_.structures[index];
    for (const Body b : check.subjects)
      if (b.kind != Body::Kind::piece) return std::nullopt;  // more in a wall is for the anchor's maker to say
    const std::string &a = s[PieceId{check.subjects.front().index}].mark,
                      &b = s[PieceId{check.subjects.back().index}].mark;
    Structure changed = s;
    int had = 0;
    std::string item;
    for (const Joint& j : s.joints) {
      if (j.a.kind != Body::Kind::piece || j.b.kind != Body::Kind::piece) continue;
      const Piece &pa = s[PieceId{j.a.index}], &pb = s[PieceId{j.b.index}];
      if (!((pa.mark == a && pb.mark == b) || (pa.mark == b && pb.mark == a))) continue;
      const std::vector<int> fixings = fixings_of(s, j);
      if (fixings.empty()) continue;
      const Fixing* first = &s.fixings[static_cast<std::size_t>(fixings.front())];
      had = static_cast<int>(fixings.size());
      item = first->item;
      for (int i = 1; i <= more; ++i) {
        Fixing extra = *first;
        extra.head = extra.head + (5.0 * extra.diameter * i) * pb.frame.x;
        changed.fixings.push_back(extra);
      }
    }
    if (item.empty()) return std::nullopt;
    return run(index, fmt::format("{} × {} instead of {}", had + more, item, had),
               [&] { return std::optional(std::move(changed)); });
  }

  template <class Make>
  std::optional<Trial> run(std::size_t index, const std::string& words, Make make) {
    const std::string key = fmt::format("{}/{}", index, words);
    if (const auto found = done_.find(key); found != done_.end()) return found->second;
    if (++trials_ > kMostTrials) return std::nullopt;
    std::optional<Trial> trial;
    if (std::optional<Structure> structure = make()) {
      trial = Trial{words, {}};
      const std::vector<Structure> one{std::move(*structure)};
      const Standing stands = standing(one, plan_.site);
      for (const Check& c : stands.strength.checks) trial->use[key_of(c, one.front())] = c.utilisation;
    }
    return done_[key] = trial;
  }

  const Plan& plan_;
  const pattern::Shelves& shelves_;
  std::map<std::string, std::vector<std::string>> section_choices_;
  std::map<std::string, std::optional<Trial>> done_;
  int trials_ = 0;
};

}  // namespace

void add_advice(Plan& plan, const pattern::Shelves& shelves) {
  std::vector<std::size_t> failing;
  for (std::size_t i = 0; i < plan.strength.checks.size(); ++i)
    if (plan.strength.checks[i].verdict == Verdict::fails && plan.strength.checks[i].capacity > 0) failing.push_back(i);
  std::stable_sort(failing.begin(), failing.end(), [&](std::size_t a, std::size_t b) {
    return plan.strength.checks[a].utilisation > plan.strength.checks[b].utilisation;
  });
  Adviser adviser(plan, shelves);
  std::vector<std::string> found(plan.strength.checks.size());
  for (const std::size_t i : failing) found[i] = adviser.advice(plan.strength.checks[i]);
  for (const std::size_t i : failing) plan.strength.checks[i].advice = std::move(found[i]);
}

}  // namespace garthwright
