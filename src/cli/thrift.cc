// SPDX-License-Identifier: Apache-2.0
#include "plan/thrift.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <memory>
#include <nlohmann/json.hpp>

#include "base/plain_text.h"
#include "cli/command.h"
#include "cli/still_working.h"
#include "exchange/thrift_json.h"

namespace garthwright::cli {

namespace {

struct Given {
  std::string job;
  std::vector<std::string> choices;
  bool json = false;
};

std::string amount(const ChoiceThrift& choice, double value, LengthStyle style) {
  return choice.unit == "length" ? format_length(value, style) : fmt::format("{:g}", value);
}

std::string cost(const buying::CostStep& step, const Currency& currency) {
  if (!step.buildable()) return "– " + step.refusal;
  if (step.proven()) return format_money(step.cost, currency);
  return fmt::format("{} (at least {})", format_money(step.cost, currency), format_money(step.lower_bound, currency));
}

std::string told(const ChoiceThrift& choice, const pattern::Job& job, bool whole_table) {
  const buying::Thrift& found = choice.found;
  const Currency& currency = job.yard.currency;
  std::string text =
      fmt::format("{}: {} is {}, {} in all; {} steps from {} to {}{}\n", choice.structure, choice.choice,
                  amount(choice, found.question.now, job.style), format_money(found.now, currency), found.steps.size(),
                  amount(choice, found.steps.front().from, job.style), amount(choice, found.steps.back().to, job.style),
                  found.proven() ? "" : ", not all proven");
  for (const buying::Cheaper& cheaper : found.cheaper)
    text += fmt::format("  at {} it is {} less: {}; {}\n", amount(choice, cheaper.value, job.style),
                        format_money(cheaper.saved, currency), fmt::join(cheaper.pieces, ", "),
                        fmt::join(cheaper.lines, ", "));
  if (found.passed_over > 0)
    text += fmt::format("  {} nearer step{} would cost less, but a check would fail there that holds now\n",
                        found.passed_over, found.passed_over == 1 ? "" : "s");
  else if (found.cheaper.empty())
    text += "  no other value costs less\n";
  if (!whole_table) return text;
  for (const buying::CostStep& step : found.steps)
    text += fmt::format("  {:>14} to {:>14}  {}\n", amount(choice, step.from, job.style),
                        amount(choice, step.to, job.style), cost(step, currency));
  return text;
}

Status tell(const Given& given) {
  const Result<JobOnShelves> read = read_job(given.job);
  if (!read) return wrong(read.error());
  const Result<std::vector<ChoiceThrift>> found = [&] {
    const StillWorking working("looking at prices");
    return thrift(read->job, read->shelves, given.choices);
  }();
  if (!found) return wrong(found.error());
  if (given.json) return write_out(exchange::thrift_json(*found, read->job.yard.currency));
  std::string text;
  for (const ChoiceThrift& choice : *found) text += told(choice, read->job, !given.choices.empty());
  return write_out(for_terminal(text));
}

}  // namespace

void add_thrift(CommandLine& words) {
  auto given = std::make_shared<Given>();
  Command command = words.add("thrift", "Tell where the price jumps, and what a small change would save");
  command.argument("JOB", given->job, "job file (TOML), or - for standard input");
  command.arguments("CHOICE", given->choices, "choices to run, as opening or structure.opening (else all, in brief)");
  command.flag("--json", given->json, "print every step as JSON");
  command.note(
      "The whole cost (timber, fixings, panels, ground, preservative, as bought) over the range of a length or count:\n"
      "every step of it, by whole millimetres from the value it has now (in jobs of feet and inches by their finest\n"
      "part). A cost is proven least; where it is not, it is shown with what it is at least. Proposed are only values\n"
      "at which no check fails that holds now; the steps themselves tell the price alone.");
  command.runs([given] { return tell(*given); });
}

}  // namespace garthwright::cli
