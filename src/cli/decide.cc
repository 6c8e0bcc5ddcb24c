// SPDX-License-Identifier: Apache-2.0
#include "decide/decide.h"

#include <fmt/format.h>

#include <filesystem>
#include <memory>

#include "base/plain_text.h"
#include "cli/command.h"
#include "cli/shed_file.h"
#include "decide/advice.h"
#include "decide/decide_json.h"
#include "exchange/write_files.h"

namespace garthwright::cli {

namespace {

namespace fs = std::filesystem;
using decide::Answer;

struct Given {
  std::string job, json, save, within, most, keep;
  double limit_s = 60;
  bool advice = false;
  double take = 0;
};

std::string grouped(std::uint64_t number) {
  std::string digits = std::to_string(number);
  for (std::size_t i = digits.size(); i > 3; i -= 3) digits.insert(i - 3, ",");
  return digits;
}

/// "post 5x5 (was 4x4), in_ground 700 mm": what changes; what stays is told by number.
std::string changes(const Answer& answer) {
  std::string text, structure;
  int same = 0;
  for (const decide::Settled& choice : answer.choices) {
    if (!choice.changed()) {
      ++same;
      continue;
    }
    text += choice.structure == structure ? ", " : (text.empty() ? "" : "\n") + choice.structure + ": ";
    structure = choice.structure;
    text += fmt::format("{} = {}", choice.name, choice.value);
    if (!choice.was.empty()) text += fmt::format(" (was {})", choice.was);
  }
  if (same > 0)
    text += fmt::format("{}{} stay{} as {}", text.empty() ? "" : "\n",
                        same == 1 ? "1 choice" : fmt::format("{} choices", same), same == 1 ? "s" : "",
                        same == 1 ? "it is" : "they are");
  for (const decide::FixedAnew& fixed : answer.fixings)
    text += fmt::format("\n{}: \"{}\" = \"{}\" (was {})", fixed.structure, fixed.joint, fixed.value, fixed.was);
  return text;
}

std::string proof(const Answer& answer) {
  const auto& counts = answer.counts;
  std::string text = fmt::format("of {} combinations ", grouped(answer.combinations));
  text += fmt::format("{} cost no less{}, {} are refused, {} do not stand", grouped(counts.dearer),
                      answer.stands ? " (this one among them)" : " than was asked", grouped(counts.refused),
                      grouped(counts.shape + counts.alike + counts.tried));
  const std::uint64_t open = answer.combinations - counts.sum();
  if (open > 0) text += fmt::format(", {} were not looked at in the time", grouped(open));
  return text + fmt::format("; {} were reckoned, in {:.1f} s\n", grouped(static_cast<std::uint64_t>(answer.plans)),
                            answer.seconds);
}

std::string told(const Answer& answer, const Currency& currency) {
  if (!answer.stands) {
    std::string text = answer.proven ? "none stands: what is open has no combination for which every check passes\n"
                                     : fmt::format(
                                           "none found that stands, in {:.0f} s; it is not proven that there is none, "
                                           "and any costs at least {}\n",
                                           answer.seconds, format_money(answer.lower_bound, currency));
    if (!answer.most_often.empty()) text += fmt::format("  most often: {}\n", answer.most_often);
    return text + "  " + proof(answer);
  }
  std::string text = changes(answer) + "\n";
  text += fmt::format("{} in all, and every check passes; ", format_money(answer.total, currency));
  text += answer.proven && answer.lower_bound == answer.total
              ? "proven least over what is open (fixings go up from the pattern's first until they carry)\n"
              : fmt::format("not proven least: at most {} less is possible\n",
                            format_money({answer.total.minor - answer.lower_bound.minor}, currency));
  return text + "  " + proof(answer) + "  indicative only, local codes and licensed practice go before it\n";
}

Status write_json(const std::string& path, const std::string& text) {
  if (path == "-") return write_out(text);
  const fs::path target(path);
  const std::string folder = target.has_parent_path() ? target.parent_path().string() : ".";
  if (const Result<void> written = exchange::write_all(folder, {{target.filename().string(), text}}); !written) {
    print(written.error());
    return kMachineFailed;
  }
  return kDone;
}

/// Over the job itself where that is the file named; over nothing else that is there.
Status save(const Given& given, const std::string& text) {
  std::error_code none;
  const bool itself = given.job != "-" && fs::equivalent(given.save, given.job, none);
  if (fs::exists(given.save, none) && !itself)
    return wrong(fail("exists", "there is a file of that name already", "give another name, or remove it first",
                      {given.save, 0, 0, {}})
                     .value());
  return write_json(given.save, text);
}

Result<decide::Options> options_of(const Given& given, const pattern::Job& job) {
  decide::Options options;
  options.limit_s = given.limit_s;
  if (given.within.empty() != given.most.empty())
    return fail("bad-option", "--within and --most belong together", "write --within 400 --most opening");
  if (!given.most.empty()) {
    const Result<Money> money = parse_money(given.within, job.yard.currency);
    if (!money) return tl::make_unexpected(money.error());
    options.most = decide::MostFor{*money, given.most};
  }
  if (!given.keep.empty()) {
    Result<shed::Shed> shed = open_shed(given.keep);
    if (!shed) return tl::make_unexpected(shed.error());
    const Result<std::vector<shed::Item>> free = shed->free_for(job.title);
    if (!free) return tl::make_unexpected(free.error());
    options.on_hand = on_hand(*free);
  }
  return options;
}

std::string told(const decide::Advice& advice, const pattern::Job& job) {
  if (advice.fails == 0) return "nothing to advise: every check passes as it is\n";
  if (advice.hopeless) return fmt::format("no choice cures it: {}\n", advice.why);
  if (advice.ways.empty())
    return fmt::format(
               "{} checks fail, and no change of sections, holes and what the pattern works out was found for which "
               "all pass, in {:.0f} s{}\n",
               advice.fails, advice.seconds, advice.ran_out ? " (--limit-s gives it longer)" : "") +
           (advice.why.empty() ? "" : fmt::format("  most often: {}\n", advice.why));
  std::string text = fmt::format("{} checks fail; any one of these, whole, and every check passes:\n", advice.fails);
  for (std::size_t i = 0; i < advice.ways.size(); ++i)
    text += fmt::format("{}. {}: {}\n", i + 1, decide::name(advice.ways[i].kind),
                        words_of(advice.ways[i], job.yard.currency, job.orders.size() > 1));
  text += "by the first of them:\n";
  for (const decide::Cure& cure : advice.cures) text += fmt::format("  {}: {}\n", cure.title, cure.words);
  return text +
         "  the cheapest that was found of each kind, planned whole; --take N --save FILE writes one into the job\n"
         "  indicative only, local codes and licensed practice go before it\n";
}

/// The way to take: the first unless another was asked for.
Result<const decide::Way*> way_taken(const Given& given, const decide::Advice& advice) {
  const auto number = static_cast<std::size_t>(given.take > 0 ? given.take : 1);
  if (number > advice.ways.size())
    return fail("no-such-way", fmt::format("there is no way {}", number),
                advice.ways.empty() ? "none was found" : fmt::format("give 1 to {}", advice.ways.size()));
  return &advice.ways[number - 1];
}

Status advise_job(const Given& given, const std::string& text, const JobOnShelves& read,
                  const decide::Options& options) {
  const Result<decide::Advice> advice = decide::advise(read.job, read.shelves, options);
  if (!advice) return wrong(advice.error());
  Status status = kDone;
  if (!given.save.empty() && advice->fails > 0 && !advice->ways.empty()) {
    const Result<const decide::Way*> way = way_taken(given, *advice);
    if (!way) return wrong(way.error());
    const Result<std::string> changed = decide::taken_text(text, read.job.file, **way);
    if (!changed) return wrong(changed.error());
    status = save(given, *changed);
  }
  if (status == kDone && !given.json.empty()) status = write_json(given.json, decide::advice_json(*advice, read.job));
  if (status == kDone && given.json != "-") status = write_out(for_terminal(told(*advice, read.job)));
  return status != kDone ? status : advice->fails == 0 || !advice->ways.empty() ? kDone : kCheckFails;
}

Status decide_job(const Given& given) {
  const Result<std::string> text = read_text(given.job);
  if (!text) return wrong(text.error());
  const Result<JobOnShelves> read = read_job_text(*text, given.job);
  if (!read) return wrong(read.error());
  const Result<decide::Options> options = options_of(given, read->job);
  if (!options) return shed_trouble(options.error());
  if (given.advice) return advise_job(given, *text, *read, *options);
  if (given.take > 0)
    return wrong(fail("bad-option", "--take takes one of the ways of --advice", "ask for --advice too").value());
  const Result<Answer> answer = decide::decide(read->job, read->shelves, *options);
  if (!answer) return wrong(answer.error());
  Status status = kDone;
  if (!given.save.empty() && answer->stands) {
    const Result<std::string> changed = decide::settled_text(*text, read->job.file, *answer);
    if (!changed) return wrong(changed.error());
    status = save(given, *changed);
  }
  if (status == kDone && !given.json.empty()) status = write_json(given.json, decide::decide_json(*answer));
  if (status == kDone && given.json != "-") status = write_out(for_terminal(told(*answer, read->job.yard.currency)));
  return status != kDone ? status : answer->stands ? kDone : kCheckFails;
}

}  // namespace

void add_decide(CommandLine& words) {
  auto given = std::make_shared<Given>();
  Command command = words.add("decide", "Find the open choices' values with the least cost for which all stands");
  command.argument("JOB", given->job, "job file (TOML), or - for standard input");
  command.option("--save", "FILE", given->save,
                 "write the job with what was found, comments kept (JOB itself may be named)");
  command.option("--json", "FILE", given->json, "write the answer as JSON, to standard output for -");
  command.number("--limit-s", "S", given->limit_s, 1e6, "how long to look (else 60); 0 for as long as it takes");
  command.option("--within", "MONEY", given->within, "look for the most of a choice for this money, as 400 or 399.50");
  command.option("--most", "CHOICE", given->most,
                 "the length or count to make the most of, as opening or structure.opening");
  command.option("--keep", "SHED", given->keep, "off-cuts and spare fixings of this shed are free");
  command.flag("--advice", given->advice, "of a job that fails: what to change so that every check passes");
  command.whole("--take", "N", given->take, 4, "with --advice and --save: which way to write (else the first)");
  command.note(
      "Choices are left open in [structure.open], or by open = \"all but opening, height\" (docs/job-file.md).\n"
      "The least whole cost is proven, by how every combination is covered (docs/decide.md); where time ends, it\n"
      "tells what was found and how much less is possible at most.\n"
      "Status: 0 found; 1 none stands, or none was found in time; 2 the input is wrong.");
  command.runs([given] { return decide_job(*given); });
}

}  // namespace garthwright::cli
