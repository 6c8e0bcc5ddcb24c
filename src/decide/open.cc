// SPDX-License-Identifier: Apache-2.0
#include "decide/open.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/near.h"
#include "base/quoted.h"
#include "pattern/described.h"
#include "pattern/job_text.h"

namespace garthwright::decide {
namespace {

using pattern::ChoiceInfo;

constexpr double kSame = 1e-6;                   // mm
constexpr double kStepMm = 50;                   // where neither job nor pattern says a step
constexpr double kStepIn = 2;                    // the same in inches
constexpr double kSmaller = 0.6, kLarger = 2.5;  // of a section's sides: what is open beside the one that is taken now

std::string quoted_value(const Value& value) {
  if (const auto* text = std::get_if<std::string>(&value)) return garthwright::quoted(*text);
  if (const auto* yes = std::get_if<bool>(&value)) return *yes ? "true" : "false";
  return fmt::format("{:g}", std::get<double>(value));
}

/// Reads one structure's open choices against what its pattern says.
class Reader {
 public:
  Reader(const pattern::Job& job, std::size_t order, const pattern::PatternInfo& info, const Structure* now,
         Diagnostics& problems)
      : job_(job), order_(job.orders[order]), number_(order), info_(info), now_(now), problems_(problems) {}

  std::vector<Open> read() {
    std::vector<Open> all;
    for (const ChoiceInfo& choice : info_.choices) {
      const auto listed = std::find_if(order_.open.choices.begin(), order_.open.choices.end(),
                                       [&](const auto& open) { return open.name == choice.name; });
      if (listed != order_.open.choices.end())
        add(all, choice, *listed);
      else if (order_.open.all && opens_with_all(choice))
        add(all, choice, {choice.name, {}, {}, order_.open.where});
    }
    return all;
  }

 private:
  /// Numbers and sections; shapes, panels and options are a person's taste.
  bool opens_with_all(const ChoiceInfo& choice) const {
    const auto& kept = order_.open.all_but;
    const bool sort = choice.unit == "length" || choice.unit == "count" || choice.unit == "section";
    return sort && std::find(kept.begin(), kept.end(), choice.name) == kept.end() && taken(choice.name) != nullptr;
  }

  const Choice* taken(const std::string& name) const {
    if (now_ == nullptr) return nullptr;
    const auto at = std::find_if(now_->choices.begin(), now_->choices.end(),
                                 [&](const Choice& choice) { return choice.name == name; });
    return at == now_->choices.end() ? nullptr : &*at;
  }

  void add(std::vector<Open>& all, const ChoiceInfo& choice, const pattern::OpenChoice& asked) {
    Open open;
    open.order = number_;
    open.name = choice.name;
    open.unit = choice.unit;
    open.ground = choice.group == kGround;
    if (!asked.values.empty())
      for (const Value& value : asked.values) take(open, choice, value, asked.where);
    else if (open.number())
      take_range(open, choice, asked);
    else if (asked.range)
      problem("bad-open", fmt::format("{} is open from one value to another, and is no number", open.name),
              "list its values", asked.where);
    else
      open.values = own_values(choice);
    if (open.number()) {
      std::sort(open.values.begin(), open.values.end());
      open.values.erase(std::unique(open.values.begin(), open.values.end()), open.values.end());
    }
    if (open.values.size() > kMostValues)
      return problem("bad-open", fmt::format("{} is open for {} values", open.name, open.values.size()),
                     fmt::format("leave at most {} of them", kMostValues), asked.where);
    if (open.values.empty()) return;  // told already
    say_now(open);
    all.push_back(std::move(open));
  }

  bool in_range(const ChoiceInfo& choice, double value) const {
    return value >= choice.least - 1e-9 && value <= choice.most + 1e-9;
  }

  void take(Open& open, const ChoiceInfo& choice, const Value& value, const Place& where) {
    const auto wrong = [&](const std::string& cure) {
      problem("bad-open", fmt::format("{} is open for {}", open.name, quoted_value(value)), cure, where);
    };
    if (open.number()) {
      double number = 0;
      if (const double* given = std::get_if<double>(&value))
        number = *given;
      else if (const auto* text = std::get_if<std::string>(&value); text && open.unit == "length") {
        const Result<double> length = parse_length(*text);
        if (!length) return wrong(length.error().front().cure);
        number = *length;
      } else
        return wrong("give " + choice.range);
      if (!in_range(choice, number) || (open.unit == "count" && number != std::floor(number)))
        return wrong("give " + choice.range);
      return push(open, number);
    }
    if (const bool* yes = std::get_if<bool>(&value); yes || open.unit == "yes-no")
      return yes && open.unit == "yes-no" ? push(open, *yes) : wrong("give " + known_text(choice));
    const auto* name = std::get_if<std::string>(&value);
    if (name == nullptr) return wrong("give " + known_text(choice));
    const std::vector<std::string> known = known_names(choice);
    if (std::find(known.begin(), known.end(), *name) == known.end()) return wrong(suggest(*name, known));
    push(open, *name);
  }

  static void push(Open& open, const Value& value) {
    if (std::find(open.values.begin(), open.values.end(), value) == open.values.end()) open.values.push_back(value);
  }

  double step_of(const ChoiceInfo& choice) const {
    if (choice.step > 0) return choice.step;
    if (choice.unit == "count") return 1;
    if (choice.unit == "number") return (choice.most - choice.least) / 10;
    return job_.style.units == Units::feet_inches ? kStepIn * kMillimetresPerInch : kStepMm;
  }

  void take_range(Open& open, const ChoiceInfo& choice, const pattern::OpenChoice& asked) {
    const double from = asked.range ? asked.range->from : choice.least,
                 to = asked.range ? asked.range->to : choice.most;
    const double step = asked.range && asked.range->step ? *asked.range->step : step_of(choice);
    if (!in_range(choice, from) || !in_range(choice, to))
      return problem("bad-open", fmt::format("{} is open beyond what {} takes", open.name, info_.name),
                     "give " + choice.range, asked.where);
    if ((to - from) / step >= static_cast<double>(kMostValues))
      return problem("bad-open", fmt::format("{} is open for more than {} values", open.name, kMostValues),
                     "give a larger step", asked.where);
    if (open.unit == "count" && (from != std::floor(from) || step != std::floor(step)))
      return problem("bad-open", fmt::format("{} is a count", open.name), "give whole numbers", asked.where);
    for (int i = 0; from + i * step <= to + kSame; ++i) open.values.emplace_back(std::min(from + i * step, to));
  }

  std::vector<std::string> known_names(const ChoiceInfo& choice) const {
    std::vector<std::string> names = choice.options;
    if (choice.unit == "section")
      for (const timber::Section& section : job_.yard.sections) names.push_back(section.name);
    if (choice.unit == "panel")
      for (const timber::PanelItem& panel : job_.yard.panels) names.push_back(panel.name);
    return names;
  }

  std::string known_text(const ChoiceInfo& choice) const {
    return choice.unit == "yes-no" ? "true or false" : "one of its names";
  }

  /// What a choice without an order may be: yes or no; its options; sections about as stout as the one taken now.
  std::vector<Value> own_values(const ChoiceInfo& choice) const {
    std::vector<Value> values;
    if (choice.unit == "yes-no") return {Value(false), Value(true)};
    const Choice* now = taken(choice.name);
    std::vector<std::string> names;
    if (choice.unit == "section" && now) names = about_as_stout(job_.yard, now->text);
    for (const std::string& name : names.empty() ? known_names(choice) : names) values.emplace_back(name);
    return values;
  }

  void say_now(Open& open) const {
    const auto given = std::find_if(order_.choices.begin(), order_.choices.end(),
                                    [&](const auto& choice) { return choice.name == open.name; });
    std::optional<Value> now;
    if (const Choice* choice = taken(open.name)) {
      if (choice->value)
        now = choice->value->value();
      else if (open.unit == "yes-no")
        now = choice->text == "yes";
      else
        now = choice->text;
    } else if (given != order_.choices.end()) {
      if (const auto* number = std::get_if<double>(&given->value)) now = *number;
      if (const auto* text = std::get_if<std::string>(&given->value)) now = *text;
      if (const auto* yes = std::get_if<bool>(&given->value)) now = *yes;
    }
    if (!now) return;
    open.was = in_toml(open, *now, job_.style);
    for (std::size_t i = 0; i < open.values.size(); ++i) {
      const double* a = std::get_if<double>(&open.values[i]);
      const double* b = std::get_if<double>(&*now);
      if (a && b ? std::abs(*a - *b) < kSame : open.values[i] == *now) open.now = i;
    }
  }

  void problem(std::string code, std::string what, std::string cure, const Place& where) {
    problems_.push_back({Severity::error, std::move(code), std::move(what), std::move(cure), where});
  }

  const pattern::Job& job_;
  const pattern::Order& order_;
  std::size_t number_;
  const pattern::PatternInfo& info_;
  const Structure* now_;
  Diagnostics& problems_;
};

}  // namespace

Result<std::vector<Open>> open_choices(const pattern::Job& job, const pattern::Shelves& shelves) {
  Diagnostics problems;
  const auto patterns = pattern::describe_patterns(pattern::patterns_of(job), shelves, &job.yard, job.style, problems);
  std::vector<Open> all;
  for (std::size_t i = 0; i < job.orders.size(); ++i) {
    if (!job.orders[i].open.any()) continue;
    int letter = 0;
    const Result<pattern::Built> built = pattern::build(job, job.orders[i], shelves, 0, letter);
    if (!built && built.error().front().code == "unknown-choice") return tl::make_unexpected(built.error());
    const auto info =
        std::find_if(patterns.begin(), patterns.end(), [&](const auto& p) { return p.name == job.orders[i].pattern; });
    if (info == patterns.end()) {
      if (problems.empty() && !built) problems = built.error();
      continue;
    }
    for (Open& open : Reader(job, i, *info, built ? &built->structure : nullptr, problems).read())
      all.push_back(std::move(open));
  }
  if (has_error(problems)) return tl::make_unexpected(std::move(problems));
  double product = 1;
  for (const Open& open : all) product *= static_cast<double>(open.values.size());
  if (product > static_cast<double>(kMostCombinations))
    return fail(
        "too-many", fmt::format("what is open makes {:.2g} combinations", product),
        fmt::format("leave fewer choices or values open: at most {:.2g}", static_cast<double>(kMostCombinations)));
  return all;
}

std::vector<std::string> about_as_stout(const timber::Yard& yard, const std::string& name) {
  const auto current = std::find_if(yard.sections.begin(), yard.sections.end(),
                                    [&](const auto& section) { return section.name == name; });
  if (current == yard.sections.end()) return {};
  std::vector<const timber::Section*> alike;
  for (const timber::Section& section : yard.sections) {
    const double wide = section.width_mm / current->width_mm, thick = section.thickness_mm / current->thickness_mm;
    const bool like = section.treatment == current->treatment && section.species == current->species;
    if (like && std::min(wide, thick) >= kSmaller && std::max(wide, thick) <= kLarger) alike.push_back(&section);
  }
  std::stable_sort(alike.begin(), alike.end(), [](const auto* a, const auto* b) {
    return a->width_mm * a->thickness_mm < b->width_mm * b->thickness_mm;
  });
  std::vector<std::string> names;
  for (const timber::Section* section : alike) names.push_back(section->name);
  return names;
}

std::uint64_t count(const std::vector<Open>& opens) {
  std::uint64_t product = 1;
  for (const Open& open : opens) product *= open.values.size();
  return product;
}

std::uint64_t number_of(const std::vector<Open>& opens, const Combination& combination) {
  std::uint64_t number = 0;
  for (std::size_t i = 0; i < opens.size(); ++i) number = number * opens[i].values.size() + combination[i];
  return number;
}

std::string in_toml(const Open& open, const Value& value, LengthStyle style) {
  if (const auto* text = std::get_if<std::string>(&value)) return pattern::toml_text(*text);
  if (const auto* yes = std::get_if<bool>(&value)) return *yes ? "true" : "false";
  const double number = std::get<double>(value);
  if (open.unit == "length" && style.units == Units::feet_inches) {
    const std::string printed = format_length(number, style);
    if (const Result<double> read = parse_length(printed); read && std::abs(*read - number) < kSame)
      return pattern::toml_text(printed);
  }
  return fmt::format("{}", number);
}

std::string in_words(const Open& open, const Value& value, LengthStyle style) {
  if (const auto* text = std::get_if<std::string>(&value)) return *text;
  if (const auto* yes = std::get_if<bool>(&value)) return *yes ? "yes" : "no";
  const double number = std::get<double>(value);
  return open.unit == "length" ? format_length(number, style) : fmt::format("{:g}", number);
}

pattern::Order with(const pattern::Order& order, std::size_t number, const std::vector<Open>& opens,
                    const Combination& combination) {
  pattern::Order changed = order;
  for (std::size_t i = 0; i < opens.size(); ++i) {
    if (opens[i].order != number) continue;
    std::erase_if(changed.choices, [&](const auto& choice) { return choice.name == opens[i].name; });
    std::visit(
        [&](const auto& value) {
          changed.choices.push_back({opens[i].name, value, order.where});
        },
        opens[i].values[combination[i]]);
  }
  return changed;
}

pattern::Job with(const pattern::Job& job, const std::vector<Open>& opens, const Combination& combination) {
  pattern::Job changed = job;
  for (std::size_t i = 0; i < job.orders.size(); ++i) changed.orders[i] = with(job.orders[i], i, opens, combination);
  return changed;
}

}  // namespace garthwright::decide
