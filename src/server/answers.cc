// SPDX-License-Identifier: Apache-2.0
#include "server/answers.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <functional>

#include "base/near.h"
#include "base/quoted.h"
#include "exchange/diagnostics_json.h"
#include "exchange/files.h"
#include "exchange/plan_json.h"
#include "exchange/thrift_json.h"
#include "exchange/view_json.h"
#include "plan/plan.h"
#include "plan/thrift.h"
#include "server/decide_answers.h"
#include "server/embedded.h"
#include "server/shelf_answers.h"
#include "sheets/sheets.h"

namespace garthwright::server {
namespace {

using exchange::diagnostics_json;
using exchange::Json;

std::string text_of(const Json& json) { return json.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n"; }

Answer json_answer(std::string text) { return {"application/json", std::move(text), {}}; }

// ---- what an answer is made from ------------------------------------------------------------------------------------

/// A plan and the solids of its structures, as the faces take them. Moved, never copied: solids know where the
/// structures are.
struct Made {
  Plan plan;
  std::vector<solid::Solids> solids;

  std::vector<exchange::Model> models() const {
    std::vector<exchange::Model> all;
    for (std::size_t i = 0; i < solids.size(); ++i) all.push_back({&plan.garden.structures[i], &solids[i]});
    return all;
  }
  std::vector<const solid::Solids*> for_sheets() const {
    std::vector<const solid::Solids*> all;
    for (const solid::Solids& one : solids) all.push_back(&one);
    return all;
  }
};

struct Asked {
  const Question& question;
  const pattern::Shelves& shelves;
  const Limits& limits;
  const std::atomic<bool>* cancel;
  const Tell& tell;

  std::string parameter(const std::string& name, const std::string& otherwise = {}) const {
    const auto at = question.parameters.find(name);
    return at == question.parameters.end() ? otherwise : at->second;
  }
  std::string file() const { return parameter("name", "job"); }

  Result<pattern::Job> job() const { return pattern::parse_job(question.job, file(), shelves); }

  PlanOptions plan_options() const {
    PlanOptions options;
    options.cutting.cancel = cancel;
    options.most_structures = limits.most_structures;
    options.most_pieces = limits.most_pieces;
    return options;
  }
  /// What a drag needs: all but the order of work and what the wind may be.
  Result<Made> quick_plan() const { return made(plan_options()); }
  Result<Made> pieces_and_price() const {
    PlanOptions options = plan_options();
    options.checks = false;
    return made(options);
  }
  /// As much of the whole as is ready in time.
  Result<Made> plan_in_time() const {
    PlanOptions options = plan_options();
    options.order.emplace();
    options.stands = true;
    return made(options);
  }
  /// What is printed or kept is whole, or is not handed out.
  Result<Made> whole_plan() const { return if_whole(plan_in_time()); }

 private:
  static Result<Made> if_whole(Result<Made> made) {
    if (!made || is_whole(made->plan)) return made;
    Diagnostics why;
    for (const Diagnostic& d : made->plan.diagnostics)
      if (d.code == kNotInTime) why.push_back({Severity::error, "too-long", d.what, d.cure, d.where});
    return tl::make_unexpected(std::move(why));
  }

  Result<Made> made(const PlanOptions& options) const {
    const Result<pattern::Job> read = job();
    if (!read) return tl::make_unexpected(read.error());
    std::vector<solid::Solids> solids;
    Result<Plan> plan = make_plan(*read, shelves, options, &solids);
    if (!plan) return tl::make_unexpected(plan.error());
    return Made{*std::move(plan), std::move(solids)};
  }
};

// ---- answers about a job --------------------------------------------------------------------------------------------

/// A wrong job is an answer here. Where the plan cannot be made, the structures that can be built still tell their
/// choices, so that a person may mend the job by them.
Result<Answer> check(const Asked& asked) {
  Garden built;
  Diagnostics diagnostics;
  bool ok = false, whole = true;
  if (const Result<pattern::Job> job = asked.job(); !job) {
    diagnostics = job.error();
  } else if (Result<Plan> plan = make_plan(*job, asked.shelves, asked.plan_options())) {
    ok = true;
    whole = is_whole(*plan);
    diagnostics = std::move(plan->diagnostics);
    built = std::move(plan->garden);
  } else {
    diagnostics = plan.error();
    const std::string& code = diagnostics.front().code;
    if (code == "too-long" || code == "cancelled" || job->orders.size() > asked.limits.most_structures)
      return tl::make_unexpected(diagnostics);
    int letter = 0;
    for (const pattern::Order& order : job->orders)
      if (Result<pattern::Built> one = pattern::build(*job, order, asked.shelves, letter, letter))
        built.structures.push_back(std::move(one->structure));
  }
  Answer answer = json_answer(text_of({{"ok", ok},
                                       {"structures", exchange::taken_choices_json(built)},
                                       {"diagnostics", diagnostics_json(diagnostics)}}));
  answer.whole = whole;
  return answer;
}

using FromPlan = std::function<Result<Answer>(const Made&, const Asked&)>;
using FromJob = std::function<Result<Answer>(const Asked&)>;

/// An answer that is made from a plan: from what is quick of it, or from the whole, as the command line writes it.
FromJob of_plan(FromPlan make, Result<Made> (Asked::*plan_of)() const) {
  return [make, plan_of](const Asked& asked) -> Result<Answer> {
    const Result<Made> made = (asked.*plan_of)();
    if (!made) return tl::make_unexpected(made.error());
    Result<Answer> answer = make(*made, asked);
    if (answer) answer->whole = is_whole(made->plan);
    return answer;
  };
}
FromJob of_quick_plan(FromPlan make) { return of_plan(make, &Asked::quick_plan); }
FromJob of_pieces_and_price(FromPlan make) { return of_plan(make, &Asked::pieces_and_price); }
FromJob of_whole_plan(FromPlan make) { return of_plan(make, &Asked::whole_plan); }

Result<Answer> plan_file(const Made& made, const Asked&) { return json_answer(exchange::plan_json(made.plan)); }

/// A parameter that says yes or no.
Result<bool> yes(const Asked& asked, const char* name, const char* otherwise) {
  const std::string word = asked.parameter(name, otherwise);
  if (word != "0" && word != "1")
    return fail("bad-parameter", fmt::format("{} is {}", name, garthwright::quoted(word)), "give 0 or 1");
  return word == "1";
}

/// With order=0 all but the build order and the winds that it stands to, which take longest.
Result<Answer> plan_answer(const Asked& asked) {
  const Result<bool> order = yes(asked, "order", "1");
  if (!order) return tl::make_unexpected(order.error());
  return of_plan(plan_file, *order ? &Asked::plan_in_time : &Asked::quick_plan)(asked);
}

Result<Answer> model(const Made& made, const Asked&) {
  return json_answer(text_of(exchange::model_json(made.plan, made.models(), exchange::Fixings::with)));
}

Result<Answer> quick(const Made& made, const Asked&) {
  const Plan& plan = made.plan;
  return json_answer(text_of({{"summary", exchange::summary_json(plan)},
                              {"structures", exchange::taken_choices_json(plan.garden)},
                              {"pieces", exchange::piece_lines_json(plan)},
                              {"model", exchange::model_json(plan, made.models())},
                              {"diagnostics", diagnostics_json(plan.diagnostics)}}));
}

/// With checks=0 what is ready first.
Result<Answer> quick_answer(const Asked& asked) {
  const Result<bool> checks = yes(asked, "checks", "1");
  if (!checks) return tl::make_unexpected(checks.error());
  return of_plan(quick, *checks ? &Asked::quick_plan : &Asked::pieces_and_price)(asked);
}

Result<Answer> why_so_long(const Made& made, const Asked& asked) {
  const std::string mark = asked.parameter("mark");
  if (mark.empty()) return fail("missing-parameter", "no mark is given", "ask as ?mark=A1");
  const Result<std::vector<std::string>> lines = why(made.plan, mark);
  if (!lines) return tl::make_unexpected(lines.error());
  return json_answer(text_of({{"mark", mark}, {"lines", *lines}}));
}

std::vector<std::string> parted(const std::string& list) {
  std::vector<std::string> words;
  for (std::size_t from = 0; from < list.size();) {
    const std::size_t comma = std::min(list.find(',', from), list.size());
    if (comma > from) words.push_back(list.substr(from, comma - from));
    from = comma + 1;
  }
  return words;
}

/// The plan is made first: thrift takes its word that the job is within the limits, and can be bought.
Result<Answer> thrift_over(const Made& made, const Asked& asked) {
  const pattern::Job& job = made.plan.job;
  const Result<std::vector<ChoiceThrift>> found =
      thrift(job, asked.shelves, parted(asked.parameter("choice")), asked.plan_options().cutting);
  if (!found) return tl::make_unexpected(found.error());
  return json_answer(exchange::thrift_json(*found, job.yard.currency));
}

/// A search goes on for as long as somebody waits; that the job is within the limits is seen first. One that cannot be
/// bought as it stands may be by what is open.
FromJob of_search(Result<Answer> (*make)(const Search&)) {
  return [make](const Asked& asked) -> Result<Answer> {
    const Result<pattern::Job> job = asked.job();
    if (!job) return tl::make_unexpected(job.error());
    if (const Result<Made> made = asked.pieces_and_price(); !made && made.error().front().code == "too-large")
      return tl::make_unexpected(made.error());
    return make({*job, asked.question.job, asked.shelves, asked.cancel, asked.tell});
  };
}

Result<sheets::SheetOptions> sheet_options(const Asked& asked) {
  sheets::SheetOptions options;
  const Result<sheets::Paper> paper = sheets::parse_paper(asked.parameter("paper", "a4"));
  if (!paper) return tl::make_unexpected(paper.error());
  options.paper = *paper;
  const Result<bool> both = yes(asked, "both_units", "0");
  if (!both) return tl::make_unexpected(both.error());
  options.both_units = *both;
  options.which = parted(asked.parameter("sheets"));
  options.job = asked.question.job;
  if (const Result<void> known = sheets::check(options); !known) return tl::make_unexpected(known.error());
  return options;
}

Result<int> whole_number(const std::string& name, const std::string& text) {
  int value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc{} || end != text.data() + text.size())
    return fail("bad-parameter", name + " is " + garthwright::quoted(text), "give a whole number");
  return value;
}

Result<Answer> sheet_bytes(const Made& made, const Asked& asked) {
  const Plan& plan = made.plan;
  const Result<sheets::SheetOptions> options = sheet_options(asked);
  if (!options) return tl::make_unexpected(options.error());
  const std::string format = asked.parameter("format", "pdf");
  if (format != "pdf" && format != "svg")
    return fail("bad-parameter", "format is " + garthwright::quoted(format), "give pdf or svg");
  const Result<int> page = whole_number("page", asked.parameter("page", "1"));
  if (!page) return tl::make_unexpected(page.error());

  const std::vector<sheets::Sheet> drawn = sheets::draw_sheets(plan, *options, made.for_sheets());
  if (drawn.empty()) return fail("no-sheet", "the job has nothing to show on these sheets", "ask for other sheets");
  if (format == "pdf") return Answer{"application/pdf", sheets::pdf_bytes(drawn, sheets::pdf_info(plan)), "plan.pdf"};
  const auto pages = static_cast<int>(drawn.size());
  if (*page < 1 || *page > pages)
    return fail("no-page", fmt::format("there is no page {}", *page), fmt::format("give 1 to {}", pages));
  return Answer{"image/svg+xml", sheets::svg_bytes(drawn[static_cast<std::size_t>(*page) - 1]), {}};
}

Result<Answer> sheet_list(const Made& made, const Asked& asked) {
  const Plan& plan = made.plan;
  const Result<sheets::SheetOptions> options = sheet_options(asked);
  if (!options) return tl::make_unexpected(options.error());
  // Kinds that share a page are told by the first of them; its title names all.
  Json list = Json::array();
  std::size_t page = 0;
  for (const sheets::Sheet& sheet : sheets::draw_sheets(plan, *options, made.for_sheets())) {
    ++page;
    if (!list.empty() && list.back()["name"] == sheet.id)
      list.back()["pages"] = list.back()["pages"].get<std::size_t>() + 1;
    else
      list.push_back({{"name", sheet.id}, {"title", sheet.title}, {"pages", 1}, {"first_page", page}});
  }
  return json_answer(text_of(list));
}

// ---- files ----------------------------------------------------------------------------------------------------------

FromJob file(const exchange::FileKind& kind) {
  const FromPlan make = [kind](const Made& made, const Asked&) -> Result<Answer> {
    Result<std::string> bytes = kind.bytes({made.plan, made.models()});
    if (!bytes) return tl::make_unexpected(bytes.error());
    return Answer{std::string(kind.type), *std::move(bytes), std::string(kind.name)};
  };
  return kind.whole ? of_whole_plan(make) : of_pieces_and_price(make);
}

Result<Answer> file_list(const Asked&) {
  Json list = Json::array();
  for (const exchange::FileKind& kind : exchange::file_kinds())
    list.push_back({{"name", kind.name}, {"type", kind.type}, {"about", kind.about}});
  return json_answer(text_of(list));
}

// ---- answers about the shelves --------------------------------------------------------------------------------------

Result<Answer> patterns(const Asked& asked) {
  const std::string units = asked.parameter("units", "mm");
  if (units != "mm" && units != "ft-in")
    return fail("bad-parameter", "units is " + garthwright::quoted(units), "give mm or ft-in");
  Result<std::string> json =
      patterns_json(asked.shelves, {.units = units == "mm" ? Units::mm : Units::feet_inches}, asked.parameter("yard"));
  if (!json) return tl::make_unexpected(json.error());
  return json_answer(*std::move(json));
}

// ---- all of them ----------------------------------------------------------------------------------------------------

struct Kind {
  FromJob make;
  std::vector<std::string> parameters;  ///< besides `name`, which every question about a job takes
  bool of_job = true;
};

std::map<std::string, Kind> with_files(std::map<std::string, Kind> all) {
  for (const exchange::FileKind& kind : exchange::file_kinds())
    all.emplace(fmt::format("/api/v1/files/{}", kind.name), Kind{file(kind), {}});
  return all;
}

const std::map<std::string, Kind>& kinds() {
  static const std::map<std::string, Kind> all = with_files({
      {"/api/v1/check", {check, {}}},
      {"/api/v1/plan", {plan_answer, {"order"}}},
      {"/api/v1/model", {of_quick_plan(model), {}}},
      {"/api/v1/quick", {quick_answer, {"checks"}}},
      {"/api/v1/why", {of_pieces_and_price(why_so_long), {"mark"}}},
      {"/api/v1/thrift", {of_pieces_and_price(thrift_over), {"choice"}}},
      {"/api/v1/decide", {of_search(settled), {}}},
      {"/api/v1/advice", {of_search(advised), {}}},
      {"/api/v1/sheets", {of_whole_plan(sheet_bytes), {"format", "paper", "sheets", "both_units", "page"}}},
      {"/api/v1/sheets/list", {of_whole_plan(sheet_list), {"paper", "both_units"}}},
      {"/api/v1/files", {file_list, {}, false}},
      {"/api/v1/patterns", {patterns, {"units", "yard"}, false}},
      {"/api/v1/yards", {[](const Asked& a) { return json_answer(yards_json(a.shelves)); }, {}, false}},
      {"/api/v1/blades", {[](const Asked&) { return json_answer(blades_json()); }, {}, false}},
      {"/api/v1/site", {[](const Asked&) { return json_answer(site_json()); }, {}, false}},
      {"/api/v1/examples", {[](const Asked& a) { return json_answer(examples_json(a.shelves)); }, {}, false}},
      {"/api/v1/openapi.json", {[](const Asked&) { return json_answer(std::string(openapi_document())); }, {}, false}},
  });
  return all;
}

const Kind* kind_at(const std::string& path) {
  const auto at = kinds().find(path);
  return at == kinds().end() ? nullptr : &at->second;
}

/// A parameter that means nothing here is most likely a misspelt one.
Result<void> known_parameters(const Question& question, const Kind& kind) {
  std::vector<std::string> known = kind.parameters;
  if (kind.of_job) known.push_back("name");
  for (const auto& [name, value] : question.parameters)
    if (std::find(known.begin(), known.end(), name) == known.end())
      return fail("unknown-parameter", "the question has no parameter " + garthwright::quoted(name),
                  known.empty() ? "leave it out" : suggest(name, known));
  return {};
}

}  // namespace

bool Answers::about_a_job(const std::string& path) {
  const Kind* kind = kind_at(path);
  return kind && kind->of_job;
}

bool Answers::about_the_shelves(const std::string& path) {
  const Kind* kind = kind_at(path);
  return kind && !kind->of_job;
}

Result<Answer> Answers::answer(const Question& question, const Patience& patience, const Tell& tell) const {
  const Kind* kind = kind_at(question.path);
  if (!kind) return fail("unknown-question", "nothing is answered at " + garthwright::quoted(question.path));
  if (const Result<void> known = known_parameters(question, *kind); !known) return tl::make_unexpected(known.error());
  try {
    const Waiting waiting(patience);
    return kind->make({question, shelves_, limits_, patience.cancel, tell});
  } catch (const OutOfPatience& out) {
    if (out.cancelled()) return fail("cancelled", "the answer was stopped before it was whole");
    return fail("too-long", "the time was up before the answer was ready", "ask for less: fewer pieces or structures");
  }
}

}  // namespace garthwright::server
