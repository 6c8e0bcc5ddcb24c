// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "base/near.h"
#include "base/plain_text.h"
#include "base/quoted.h"
#include "cli/choice_groups.h"
#include "cli/command.h"
#include "pattern/described.h"
#include "pattern/shelves.h"

namespace garthwright::cli {

namespace {

using pattern::ChoiceInfo;
using pattern::PatternInfo;

std::string overview(const std::vector<PatternInfo>& patterns) {
  std::size_t widest = 0;
  for (const PatternInfo& one : patterns) widest = std::max(widest, one.name.size());
  std::string text;
  for (const PatternInfo& one : patterns) text += fmt::format("{:<{}}  {}\n", one.name, widest, one.title);
  return text;
}

/// A yard says which of its timbers and panels is usual for what; here no yard is known.
bool from_the_yard(const ChoiceInfo& choice) { return !choice.role.empty(); }

std::string choice_line(const ChoiceInfo& choice) {
  const std::string fallback = !choice.fallback.empty() ? "default " + choice.fallback
                               : choice.worked_out      ? "worked out unless given"
                               : choice.optional        ? "may be left out"
                               : from_the_yard(choice)  ? "the yard's usual one unless given"
                                                        : "must be given";
  const std::string range = choice.range.empty() ? "" : ", " + choice.range;
  return fmt::format("  {:<16} {} ({}{}; {})\n", choice.name, choice.help, choice.unit, range, fallback);
}

/// Choices group by group, each group once, in the order of their first choices.
std::string details(const PatternInfo& info) {
  std::string text = fmt::format("{}: {}\n", info.name, info.title);
  if (!info.help.empty()) text += info.help + "\n";
  for (const auto& [group, choices] : in_groups(info.choices)) {
    text += fmt::format("\n{}\n", group.empty() ? "choices" : group);
    for (const ChoiceInfo* choice : choices) text += choice_line(*choice);
  }
  return text;
}

Status tell_patterns(const std::string& name, bool feet_inches) {
  const LengthStyle style{.units = feet_inches ? Units::feet_inches : Units::mm};
  const pattern::Shelves shelves = shelves_for("-");
  const std::vector<std::string> known = pattern::names_on_shelf(shelves.patterns, ".lua");
  if (!name.empty() && std::find(known.begin(), known.end(), name) == known.end())
    return wrong(
        fail("unknown-pattern", "there is no pattern " + garthwright::quoted(name), suggest(name, known)).value());
  Diagnostics problems;
  const std::vector<PatternInfo> patterns =
      pattern::describe_patterns(name.empty() ? known : std::vector{name}, shelves, nullptr, style, problems);
  print(problems);
  if (name.empty()) return write_out(for_terminal(overview(patterns)));
  return patterns.empty() ? kWrongInput : write_out(for_terminal(details(patterns.front())));
}

}  // namespace

void add_patterns(CommandLine& words) {
  struct Given {
    std::string name;
    bool feet_inches = false;
  };
  auto given = std::make_shared<Given>();
  Command command = words.add("patterns", "List the patterns, or the choices of one");
  command.argument("NAME", given->name, "pattern whose choices are wanted", false);
  command.flag("--ft-in", given->feet_inches, "print lengths in feet and inches");
  command.note(
      "Patterns are looked for in the current folder, in ./patterns and in the share folder\n"
      "(GARTHWRIGHT_SHARE names another one). docs/patterns.md tells how to write one.");
  command.runs([given] { return tell_patterns(given->name, given->feet_inches); });
}

}  // namespace garthwright::cli
