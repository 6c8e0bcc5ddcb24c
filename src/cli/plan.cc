// SPDX-License-Identifier: Apache-2.0
#include "plan/plan.h"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <memory>
#include <sstream>

#include "base/plain_text.h"
#include "base/two_threads.h"
#include "cli/command.h"
#include "cli/shed_file.h"
#include "cli/still_working.h"
#include "cli/verdict.h"
#include "decide/advice.h"
#include "exchange/dxf.h"
#include "exchange/files.h"
#include "exchange/plan_json.h"
#include "exchange/step.h"
#include "exchange/write_files.h"
#include "sheets/sheets.h"
#include "solid/kernel_calls.h"

namespace garthwright::cli {

namespace {

constexpr double kAdviceSeconds = 5;

struct Given {
  std::string job, out, json, paper = "a4", sheets, shed;
  bool both_units = false, svg = false, use_shed = false, piece_files = false;
  double people = 2, carry_kg = 0, margin = 0;
  std::string first, carry, rates, hour, csv = "comma", way, through, drawing, revision, changed;
  bool no_power = false, advice = false;
  double limit_s = 0;
};

/// The sheets asked for, "cover,pieces" as a list; fails on a paper or a kind there is not.
Result<sheets::SheetOptions> sheet_options(const Given& given) {
  sheets::SheetOptions options;
  const Result<sheets::Paper> paper = sheets::parse_paper(given.paper);
  if (!paper) return tl::make_unexpected(paper.error());
  options.paper = *paper;
  options.both_units = given.both_units;
  std::istringstream words(given.sheets);
  for (std::string word; std::getline(words, word, ',');) options.which.push_back(word);
  const Result<void> known = sheets::check(options);
  if (!known) return tl::make_unexpected(known.error());
  return options;
}

/// "900 x 2000": the width and height of a door, gate or passage.
Result<sequence::Opening> parse_opening(const std::string& text) {
  const std::size_t by = text.find_first_of("xX");
  const Result<void> wrong = fail("bad-through", fmt::format("--through is \"{}\"", text),
                                  "give the width and height of the narrowest door or gate, as 900x2000");
  if (by == std::string::npos) return tl::make_unexpected(wrong.error());
  const Result<double> wide = parse_length(text.substr(0, by)), high = parse_length(text.substr(by + 1));
  if (!wide || !high || *wide <= 0 || *high <= 0) return tl::make_unexpected(wrong.error());
  return sequence::Opening{*wide, *high};
}

/// How the work is to be ordered.
Result<sequence::Options> order_options(const Given& given) {
  sequence::Options options;
  if (given.people != 1 && given.people != 2 && given.people != 3)
    return fail("bad-people", fmt::format("--people is {}", given.people), "give 1, 2 or 3");
  options.people = static_cast<int>(given.people);
  options.no_power = given.no_power;
  options.first = given.first;
  options.carry_kg = given.carry_kg;
  if (!given.carry.empty()) {
    const Result<double> longest = parse_length(given.carry);
    if (!longest) return tl::make_unexpected(longest.error());
    if (*longest <= 0)
      return fail("bad-carry", "--carry is not above zero", "give the longest part that can be carried in");
    options.carry_mm = *longest;
  }
  if (!given.way.empty()) {
    options.way = sequence::way_named(given.way);
    if (!options.way) return fail("bad-way", fmt::format("--way is \"{}\"", given.way), "give parts, whole or pieces");
  }
  if (!given.through.empty()) {
    const Result<sequence::Opening> opening = parse_opening(given.through);
    if (!opening) return tl::make_unexpected(opening.error());
    options.through = *opening;
  }
  if (given.rates.empty()) return options;
  const Result<std::string> text = read_text(given.rates);
  if (!text) return tl::make_unexpected(text.error());
  const Result<sequence::Rates> rates = sequence::parse_rates(*text, given.rates);
  if (!rates) return tl::make_unexpected(rates.error());
  options.rates = *rates;
  return options;
}

/// out/<name of the job file> when no folder was named.
std::string folder_for(const Given& given) {
  if (!given.out.empty()) return given.out;
  const std::string stem = std::filesystem::path(given.job).stem().string();
  return (std::filesystem::path("out") / (given.job == "-" || stem.empty() ? "job" : stem)).string();
}

bool writes_files(const Given& given) { return given.json.empty() || !given.out.empty(); }

/// How the tables for spreadsheets are written.
Result<exchange::Csv> parse_csv(const std::string& word) {
  if (word == "comma") return exchange::Csv::comma;
  if (word == "semicolon") return exchange::Csv::semicolon;
  return fail("bad-csv", fmt::format("--csv is \"{}\"", word), "give comma or semicolon");
}

Result<std::vector<exchange::OutputFile>> all_files(const Plan& plan, const sheets::SheetOptions& options,
                                                    const Given& given, exchange::Csv csv) {
  std::vector<solid::Solids> solids;
  solids.reserve(plan.garden.structures.size());
  std::vector<const solid::Solids*> for_sheets;
  std::vector<exchange::Model> models;
  for (const Structure& structure : plan.garden.structures) {
    solids.emplace_back(structure);
    for_sheets.push_back(&solids.back());
    models.push_back({&structure, &solids.back()});
  }
  const std::vector<sheets::Sheet> drawn = sheets::draw_sheets(plan, options, for_sheets);

  // Sheets that are drawn need the solids no more: they are written beside what does.
  std::string pdf;
  std::vector<Result<std::string>> others;
  on_two_threads(2, [&](std::size_t which) {
    if (which == 0)
      pdf = sheets::pdf_bytes(drawn, sheets::pdf_info(plan));
    else
      for (const exchange::FileKind& kind : exchange::file_kinds()) others.push_back(kind.bytes({plan, models, csv}));
  });
  std::vector<exchange::OutputFile> files;
  files.push_back({"plan.pdf", std::move(pdf)});
  for (std::size_t i = 0; i < others.size(); ++i) {
    if (!others[i]) return tl::make_unexpected(others[i].error());
    files.push_back({std::string(exchange::file_kinds()[i].name), *std::move(others[i])});
  }
  for (std::size_t i = 0; given.svg && i < drawn.size(); ++i)
    files.push_back({fmt::format("sheet-{:02}.svg", i + 1), sheets::svg_bytes(drawn[i])});
  for (std::size_t i = 0; given.piece_files && i < plan.pieces.size(); ++i) {
    const PieceRow& row = plan.pieces[i];
    Result<std::string> bytes = exchange::step_bytes({models[static_cast<std::size_t>(row.structure_index)]},
                                                     {row.mark + " " + row.name, plan.job.date, body(row.example)});
    if (!bytes) return tl::make_unexpected(bytes.error());
    files.push_back({"pieces/" + row.mark + ".step", *std::move(bytes)});
  }
  for (const marking::Template& t : plan.marking.templates) {
    const std::string name = "templates/" + marking::file_stem(t, plan.marking.templates);
    files.push_back({name + ".dxf", exchange::template_dxf(t)});
    files.push_back({name + ".svg", sheets::svg_bytes(sheets::draw_template(t, {plan.style, options.both_units}))});
  }
  return files;
}

Status machine_failed(const Diagnostics& reasons) {
  print(reasons);
  return kMachineFailed;
}

int pieces_in(const Plan& plan) {
  int count = 0;
  for (const PieceRow& row : plan.pieces) count += row.quantity;
  return count;
}

std::string summary(const Plan& plan, const std::string& folder, const std::vector<exchange::OutputFile>& files) {
  std::string names;
  std::string last;
  for (const exchange::OutputFile& file : files) {
    const std::string name = file.name.substr(0, file.name.find('/') + 1);  // a folder is told once
    const std::string told = name.empty() ? file.name : name;
    if (told != last) names += (names.empty() ? "" : ", ") + told;
    last = told;
  }
  return fmt::format("{}: {} pieces under {} marks, {} to buy\n{}{}: {}\n", plan.title, pieces_in(plan),
                     plan.pieces.size(), format_money(plan.purchase.total, plan.purchase.currency), stands(plan),
                     folder, names);
}

Status write_json(const Plan& plan, const std::string& path) {
  const std::string text = exchange::plan_json(plan);
  if (path == "-") return write_out(text);
  const std::filesystem::path target(path);
  const std::string folder = target.has_parent_path() ? target.parent_path().string() : ".";
  const Result<void> written = exchange::write_all(folder, {{target.filename().string(), text}});
  return written ? kDone : machine_failed(written.error());
}

Status write_files(const Plan& plan, const Given& given, const sheets::SheetOptions& options) {
  const Result<std::vector<exchange::OutputFile>> files = all_files(plan, options, given, parse_csv(given.csv).value());
  if (!files) return machine_failed(files.error());
  const std::string folder = folder_for(given);
  print(exchange::left_by_a_killed_run(folder));
  const Result<void> written = exchange::write_all(folder, *files);
  if (!written) return machine_failed(written.error());
  return given.json == "-" ? kDone : tell(summary(plan, folder, *files));
}

Status write(const Plan& plan, const Given& given, const sheets::SheetOptions& options) {
  Status status = kDone;
  if (!given.json.empty()) status = write_json(plan, given.json);
  if (status == kDone && writes_files(given)) status = write_files(plan, given, options);
  return status;
}

/// Where the price jumps takes a second to find out, and is asked only for its sheet.
Result<void> add_thrift_if_drawn(Plan& plan, const JobOnShelves& read, const sheets::SheetOptions& options) {
  if (std::find(options.which.begin(), options.which.end(), "thrift") == options.which.end()) return {};
  Result<std::vector<ChoiceThrift>> found = thrift(read.job, read.shelves);
  if (!found) return tl::make_unexpected(found.error());
  plan.thrift = *std::move(found);
  return {};
}

/// All that the files show; `files`: they are to be written.
Result<Plan> whole_plan(const JobOnShelves& read, const sheets::SheetOptions& options, const sequence::Options& order,
                        buying::OnHand on_hand, bool files) {
  const StillWorking working("planning");
  PlanOptions wanted;
  wanted.order = order;
  wanted.on_hand = std::move(on_hand);
  wanted.stands = true;
  Result<Plan> plan = fail("not-asked", "");
  on_two_threads(files ? 2 : 1, [&](std::size_t which) {
    if (which == 0)
      plan = make_plan(read.job, read.shelves, wanted);
    else
      solid::load_kernel();
  });
  if (!plan) return plan;
  if (const Result<void> asked = add_thrift_if_drawn(*plan, read, options); !asked)
    return tl::make_unexpected(asked.error());
  return plan;
}

/// Plans with what is free in the shed and reserves what the plan uses. Another program may be quicker between the two:
/// then it is planned again with what is left. What was reserved before is put back when the plan cannot be written.
Status plan_with_shed(const JobOnShelves& read, const Given& given, const sheets::SheetOptions& options,
                      const sequence::Options& order) {
  const std::string& title = read.job.title;
  if (title == pattern::Job::kUntitled)
    return wrong(fail("no-title", "things in the shed are reserved under the job's title, and it has none",
                      "give the job a title of its own", {read.job.file, 0, 0, {}})
                     .value());
  Result<shed::Shed> shed = open_shed(given.shed);
  if (!shed) return shed_trouble(shed.error());
  constexpr int kTries = 5;
  for (int tries = 1;; ++tries) {
    const Result<std::vector<shed::Item>> free = shed->free_for(title), before = shed->reserved_for(title);
    if (!free) return shed_trouble(free.error());
    if (!before) return shed_trouble(before.error());
    Result<Plan> plan = whole_plan(read, options, order, on_hand(*free), writes_files(given));
    if (!plan) return wrong(plan.error());
    const Result<void> reserved = shed->reserve(title, items(plan->purchase.from_shed));
    if (!reserved && reserved.error().front().code == "not-there" && tries < kTries) continue;
    if (!reserved) return shed_trouble(reserved.error());
    print(plan->diagnostics);
    const Status status = write(*plan, given, options);
    if (status == kDone) return verdict(*plan);
    if (const Result<void> put_back = shed->reserve(title, *before); !put_back) print(put_back.error());
    return status;
  }
}

/// What cures a plan that fails, in a few seconds: told to whoever sits at a terminal, and where it was asked for.
Status advise(const Plan& plan, const JobOnShelves& read, const Given& given) {
  const bool read_by_a_person = isatty(STDOUT_FILENO) != 0 && !voice().quiet && given.json.empty();
  if (!is_whole(plan) || decide::stands(plan) || !(given.advice || read_by_a_person)) return kDone;
  decide::Options options;
  options.limit_s = kAdviceSeconds;
  options.one_way = true;
  options.on_hand = plan.purchase.from_shed;
  const StillWorking working("looking for what cures it");
  const Result<decide::Advice> advice = decide::advise(read.job, read.shelves, options);
  if (!advice || advice->fails == 0) return kDone;
  if (advice->ways.empty())
    return tell(fmt::format("no cure found in {:.0f} s; garthwright decide {} --advice looks longer\n", kAdviceSeconds,
                            for_terminal(given.job)));
  std::string text = fmt::format(
      "passes with {}\n", words_of(advice->ways.front(), plan.purchase.currency, plan.garden.structures.size() > 1));
  for (const decide::Cure& cure : advice->cures) text += fmt::format("  {}: {}\n", cure.title, cure.words);
  text += fmt::format("garthwright decide {} --advice looks for others and writes one into the job\n", given.job);
  return tell(for_terminal(text));
}

Status plan_job(const Given& given) {
  Result<sheets::SheetOptions> options = sheet_options(given);
  if (!options) return wrong(options.error());
  const Result<sequence::Options> order = order_options(given);
  if (!order) return wrong(order.error());
  if (const Result<exchange::Csv> csv = parse_csv(given.csv); !csv) return wrong(csv.error());
  const Result<std::string> text = read_text(given.job);
  if (!text) return wrong(text.error());
  options->job = *text;
  const Result<JobOnShelves> read = read_job_text(*text, given.job);
  if (!read) return wrong(read.error());
  options->margin_percent = given.margin;
  options->issue = {given.drawing, given.revision, given.changed};
  if (!given.hour.empty()) {
    const Result<Money> hour = parse_money(given.hour, read->job.yard.currency);
    if (!hour) return wrong(hour.error());
    if (hour->minor < 0) return wrong(fail("bad-money", "--hour is below nothing", "give 0 or more").value());
    options->hour = *hour;
  }
  const Waiting waiting(patience_of(given.limit_s));
  if (given.use_shed || !given.shed.empty()) return plan_with_shed(*read, given, *options, *order);
  Result<Plan> plan = whole_plan(*read, *options, *order, {}, writes_files(given));
  if (!plan) return wrong(plan.error());
  print(plan->diagnostics);
  Status status = write(*plan, given, *options);
  if (status == kDone) status = advise(*plan, *read, given);
  return status == kDone ? verdict(*plan) : status;
}

}  // namespace

void add_plan(CommandLine& words) {
  auto given = std::make_shared<Given>();
  Command command = words.add("plan", "Plan a job and write its sheets and files");
  command.argument("JOB", given->job, "job file (TOML), or - for standard input");
  command.option("--out", "DIR", given->out, "folder to write to; made when missing (else out/<name of the job>)");
  command.option("--json", "FILE", given->json, "write plan.json alone to this file, or to standard output for -");
  command.option("--paper", "SIZE", given->paper, "a4 or letter");
  command.option("--sheets", "KINDS", given->sheets,
                 "only these kinds of sheet, as cover,pieces,cutting (else those a builder needs)");
  command.flag("--both-units", given->both_units, "print the other units too, in brackets where there is room");
  command.option("--shed", "FILE", given->shed, "use off-cuts and spare fixings of this shed, and reserve them");
  command.flag("--use-shed", given->use_shed, "the same with the shed that garthwright shed keeps");
  command.option("--csv", "KIND", given->csv,
                 "comma, or semicolon with decimal commas, for spreadsheets that want it (else comma)");
  command.flag("--svg", given->svg, "write each sheet as sheet-NN.svg too");
  command.flag("--piece-files", given->piece_files, "write every piece by itself as pieces/<mark>.step too");
  command.whole("--people", "N", given->people, 3, "how many build it: 1, 2 or 3 (else 2)");
  command.flag("--no-power", given->no_power, "hand tools only");
  command.option("--first", "NAME", given->first, "sub-assembly to make, or piece to put up, before all others");
  command.option("--way", "WAY", given->way,
                 "parts made on the ground and stood up, whole (upside down on blocks, then carried), or pieces put up "
                 "one by one (else what takes least)");
  command.option("--through", "WIDTHxHEIGHT", given->through, "the door or gate that what is made elsewhere must pass");
  command.option("--carry", "LENGTH", given->carry, "the longest part that can be carried in");
  command.number("--carry-kg", "KG", given->carry_kg, 1e4, "the heaviest part that can be carried in");
  command.option("--rates", "FILE", given->rates, "how long things take (docs/rates.toml)");
  command.flag("--advice", given->advice, "of a plan that fails: what cures it (on a terminal it says so by itself)");
  command.option("--hour", "MONEY", given->hour, "what an hour of work is worth, for the cost sheet");
  command.number("--margin", "PERCENT", given->margin, 1000, "margin on materials and work, for the cost sheet");
  command.option("--drawing", "NUMBER", given->drawing, "the drawings' number, for the title block");
  command.option("--revision", "LETTER", given->revision, "their revision");
  command.option("--changed", "WORDS", given->changed, "what changed since the print before");
  add_limit(command, given->limit_s);
  std::string written =
      "Files written to DIR (all of them or, when anything fails, none):\n"
      "  plan.pdf      drawings, piece list, cutting diagram, shopping list, cautions\n";
  for (const exchange::FileKind& kind : exchange::file_kinds())
    written += fmt::format("  {:<12}  {}\n", kind.name, kind.about);
  command.note(written + "  templates/    each shaped end full size, <mark>-<end>.dxf and .svg, in mm");
  command.runs([given] { return plan_job(*given); });
}

}  // namespace garthwright::cli
