// SPDX-License-Identifier: Apache-2.0
#include "shed/shed.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <charconv>
#include <memory>

#include "base/length.h"
#include "base/near.h"
#include "base/plain_text.h"
#include "base/quoted.h"
#include "cli/command.h"
#include "cli/shed_file.h"
#include "cli/shed_plan.h"

namespace garthwright::cli {

namespace {

using shed::Item;
using shed::Kind;
using shed::Shed;

struct Given {
  std::string action, file;
  std::vector<std::string> words;
  bool fixing = false;
  double least_mm = 300;
};

std::string spoken(const Item& item) {
  return item.kind == Kind::fixing
             ? fmt::format("{} × {}", item.quantity, item.name)
             : fmt::format("{} × {} of {}", item.quantity, item.name, format_length(item.length_mm));
}

Result<int> count_of(const std::string& word) {
  int count = 0;
  const auto [end, trouble] = std::from_chars(word.data(), word.data() + word.size(), count);
  if (trouble != std::errc() || end != word.data() + word.size() || count < 1)
    return fail("bad-count", fmt::format("\"{}\" is no count", word), "give a whole number above 0");
  return count;
}

/// SECTION LENGTH [COUNT], or with --fixing NAME COUNT.
Result<Item> item_of(const Given& given) {
  const std::size_t least = 2, most = given.fixing ? 2 : 3;
  if (given.words.size() < least || given.words.size() > most)
    return fail("bad-item", fmt::format("it is not clear what to {}", given.action),
                given.fixing
                    ? fmt::format("write shed {} --fixing \"screw 5x80\" 40", given.action)
                    : fmt::format("write shed {} 4x4 \"1.2 m\" 2: section, length and how many", given.action));
  Item item{given.fixing ? Kind::fixing : Kind::off_cut, given.words[0], 0, 1};
  if (!given.fixing) {
    const Result<double> length = parse_length(given.words[1]);
    if (!length) return tl::make_unexpected(length.error());
    item.length_mm = *length;
  }
  if (given.fixing || given.words.size() == 3) {
    const Result<int> count = count_of(given.words.back());
    if (!count) return tl::make_unexpected(count.error());
    item.quantity = *count;
  }
  return item;
}

Result<ShedPlan> plan_file(const std::string& path) {
  const Result<std::string> text = read_text(path);
  if (!text) return tl::make_unexpected(text.error());
  return read_shed_plan(*text, path);
}

Status list(const Shed& shed) {
  const Result<std::vector<shed::Held>> all = shed.list();
  if (!all) return shed_trouble(all.error());
  std::string text;
  for (const shed::Held& held : *all) {
    text += spoken(held.item);
    if (held.reserved > 0) text += fmt::format("  ({} reserved for {})", held.reserved, fmt::join(held.jobs, ", "));
    text += "\n";
  }
  return write_out(text.empty() ? "the shed is empty\n" : for_terminal(text));
}

Status told(const Result<void>& done, const std::string& verb, const std::vector<Item>& items) {
  if (!done) return shed_trouble(done.error());
  std::string text;
  for (const Item& item : items) text += fmt::format("{} {}\n", verb, spoken(item));
  return write_out(text.empty() ? fmt::format("nothing {}\n", verb) : for_terminal(text));
}

bool names_a_plan(const Given& given) {
  return given.words.size() == 1 && (given.words[0] == "-" || given.words[0].ends_with(".json"));
}

/// The cut is made: what its plan had reserved is gone. Or one thing by itself.
Status take(Shed& shed, const Given& given) {
  if (names_a_plan(given)) {
    const Result<ShedPlan> plan = plan_file(given.words[0]);
    if (!plan) return wrong(plan.error());
    if (plan->uses.empty()) return write_out("nothing taken: this plan uses nothing of the shed\n");
    return told(shed.take_reserved(plan->job, plan->uses), "taken", plan->uses);
  }
  const Result<Item> item = item_of(given);
  if (!item) return wrong(item.error());
  return told(shed.take({*item}), "taken", {*item});
}

/// What a plan leaves over goes in; ends too short to keep do not.
Status restock(Shed& shed, const Given& given) {
  if (!names_a_plan(given))
    return wrong(fail("no-plan", "no plan is named", "write shed restock out/garden/plan.json").value());
  Result<ShedPlan> plan = plan_file(given.words[0]);
  if (!plan) return wrong(plan.error());
  std::erase_if(plan->leaves,
                [&](const Item& item) { return item.kind == Kind::off_cut && item.length_mm < given.least_mm; });
  return told(shed.restock(plan->key, plan->leaves), "put in", plan->leaves);
}

/// A job that will not be cut after all gives back what it had reserved.
Status release(Shed& shed, const Given& given) {
  if (given.words.size() != 1)
    return wrong(fail("no-job", "no job is named", "write shed release \"the job's title\", or its plan.json").value());
  std::string job = given.words[0];
  if (names_a_plan(given)) {
    const Result<ShedPlan> plan = plan_file(given.words[0]);
    if (!plan) return wrong(plan.error());
    job = plan->job;
  }
  const Result<int> released = shed.release(job);
  if (!released) return shed_trouble(released.error());
  return write_out(for_terminal(fmt::format(
      fmt::runtime(*released == 0 ? "nothing was reserved for {}\n" : "released what was reserved for {}\n"), job)));
}

Status add(Shed& shed, const Given& given) {
  const Result<Item> item = item_of(given);
  if (!item) return wrong(item.error());
  return told(shed.add({*item}), "put in", {*item});
}

Status run(const Given& given) {
  static const std::vector<std::string> kActions{"list", "add", "take", "release", "restock"};
  if (std::find(kActions.begin(), kActions.end(), given.action) == kActions.end())
    return wrong(
        fail("unknown-action", fmt::format("the shed cannot \"{}\"", given.action), suggest(given.action, kActions))
            .value());
  Result<Shed> shed = open_shed(given.file);
  if (!shed) return shed_trouble(shed.error());
  if (given.action == "list") return list(*shed);
  if (given.action == "take") return take(*shed, given);
  if (given.action == "release") return release(*shed, given);
  if (given.action == "restock") return restock(*shed, given);
  return add(*shed, given);
}

}  // namespace

void add_shed(CommandLine& words) {
  auto given = std::make_shared<Given>();
  Command command = words.add("shed", "Keep off-cuts and spare fixings from one job for the next");
  command.argument("ACTION", given->action, "list, add, take, release or restock");
  command.arguments("THING", given->words, "SECTION LENGTH [COUNT]; with --fixing NAME COUNT; or plan.json");
  command.flag("--fixing", given->fixing, "the thing is a fixing: its name and how many");
  command.option(
      "--shed", "FILE", given->file,
      "the shed's file (else $GARTHWRIGHT_SHED, else garthwright/shed.db in $XDG_DATA_HOME or ~/.local/share)");
  command.number("--least-mm", "MM", given->least_mm, 100'000, "restock: shorter off-cuts are not kept (else 300)");
  command.note(
      "  garthwright shed add 4x4 \"1.2 m\" 2             two off-cuts go in\n"
      "  garthwright shed add --fixing \"screw 5x80\" 40  forty screws go in\n"
      "  garthwright plan garden.toml --use-shed         plan with what is free there, and reserve what is used\n"
      "  garthwright shed take out/garden/plan.json      the cut is made: what was reserved is gone\n"
      "  garthwright shed restock out/garden/plan.json   what the plan leaves over goes in, once\n"
      "  garthwright shed release \"Orchard arbor\"       the job is off: what it reserved is free again\n"
      "Things are reserved under a job's title. Two programs may use one shed at once; one that is killed has done\n"
      "all of a change or nothing.");
  command.runs([given] { return run(*given); });
}

}  // namespace garthwright::cli
