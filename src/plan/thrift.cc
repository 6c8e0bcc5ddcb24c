// SPDX-License-Identifier: Apache-2.0
#include "plan/thrift.h"

#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <map>
#include <set>

#include "base/near.h"
#include "base/two_threads.h"
#include "pattern/described.h"
#include "plan/read_site.h"
#include "plan/standing.h"

namespace garthwright {
namespace {

/// One choice of one structure that has a number now.
struct Asked {
  std::size_t order = 0;
  pattern::ChoiceInfo info;
  buying::ThriftQuestion question;
};

Result<Garden> garden_of(const pattern::Job& job, const pattern::Shelves& shelves) {
  Result<std::vector<pattern::Built>> built = pattern::build_all(job, shelves);
  if (!built) return tl::make_unexpected(std::move(built.error()));
  Garden garden;
  for (pattern::Built& one : *built) garden.structures.push_back(std::move(one.structure));
  return garden;
}

/// What an order's choices were taken to be: it may be a part of another's structure.
const std::vector<Choice>* choices_of(const Garden& garden, const std::string& order) {
  for (const Structure& structure : garden.structures) {
    if (structure.name == order) return &structure.choices;
    for (const Part& part : structure.guests)
      if (part.name == order) return &part.choices;
  }
  return nullptr;
}

double step_of(const std::string& unit, LengthStyle style) {
  if (unit == "length" && style.units == Units::feet_inches) return kMillimetresPerInch / style.fraction;
  return 1;
}

std::vector<Asked> all_numbers(const pattern::Job& job, const std::vector<pattern::PatternInfo>& patterns,
                               const Garden& garden) {
  std::vector<Asked> all;
  for (std::size_t i = 0; i < job.orders.size(); ++i) {
    const auto known = std::find_if(patterns.begin(), patterns.end(),
                                    [&](const auto& info) { return info.name == job.orders[i].pattern; });
    const std::vector<Choice>* choices = choices_of(garden, job.orders[i].name);
    if (known == patterns.end() || choices == nullptr) continue;
    for (const pattern::ChoiceInfo& info : known->choices) {
      if (info.unit != "length" && info.unit != "count") continue;
      for (const Choice& taken : *choices)
        if (taken.name == info.name && taken.value)
          all.push_back(
              {i, info, {info.name, info.least, info.most, step_of(info.unit, job.style), taken.value->value()}});
    }
  }
  return all;
}

Result<std::vector<Asked>> those_named(const std::vector<Asked>& all, const std::vector<std::string>& names,
                                       const pattern::Job& job) {
  if (names.empty()) return all;
  std::vector<Asked> chosen;
  std::vector<std::string> known;
  for (const Asked& one : all) known.push_back(one.info.name);
  for (const std::string& name : names) {
    bool found = false;
    for (const Asked& one : all) {
      if (name != one.info.name && name != job.orders[one.order].name + "." + one.info.name) continue;
      chosen.push_back(one);
      found = true;
    }
    if (!found)
      return fail("unknown-choice", fmt::format("no structure of the job has a length or count called \"{}\"", name),
                  suggest(name, known));
  }
  return chosen;
}

/// The job's structures with one choice of one of them at another value; the others are as they are.
buying::Builder builder(const pattern::Job& job, const pattern::Shelves& shelves, const Garden& garden,
                        const Asked& asked, const std::atomic<bool>* cancel) {
  return [&job, &shelves, &garden, &asked, cancel](double value) -> Result<Garden> {
    if (cancel && *cancel) return fail("cancelled", "the search was stopped before it was whole");
    pattern::Order order = job.orders[asked.order];
    const auto given = std::find_if(order.choices.begin(), order.choices.end(),
                                    [&](const auto& choice) { return choice.name == asked.info.name; });
    if (given != order.choices.end())
      given->value = value;
    else
      order.choices.push_back({asked.info.name, value, order.where});
    if (garden.structures.size() < job.orders.size()) {  // some share posts: one changes with the other
      pattern::Job changed = job;
      changed.orders[asked.order] = std::move(order);
      return garden_of(changed, shelves);
    }
    int letter = 0;
    Result<pattern::Built> built = pattern::build(job, order, shelves, 0, letter);
    if (!built) return tl::make_unexpected(built.error());
    Garden all;
    all.structures.reserve(garden.structures.size());
    for (std::size_t i = 0; i < garden.structures.size(); ++i) {
      if (i == asked.order)
        all.structures.push_back(std::move(built->structure));
      else
        all.structures.push_back(garden.structures[i]);
    }
    return all;
  };
}

/// The choices that each order's pattern asks for as the job is: another value of any else builds the same.
std::vector<std::set<std::string>> asked_for(const pattern::Job& job, const pattern::Shelves& shelves) {
  std::vector<std::set<std::string>> all(job.orders.size());
  for (std::size_t i = 0; i < job.orders.size(); ++i) {
    int letter = 0;
    (void)pattern::build(job, job.orders[i], shelves, 0, letter, &all[i]);
  }
  return all;
}

/// What fails of a structure, and how far.
std::map<CheckKey, double> failing(const Structure& structure, const Site& site) {
  std::map<CheckKey, double> fails;
  const Standing now = standing({{structure}}, site);
  for (const auto* checks : {&now.strength.checks, &now.ground.checks})
    for (const Check& check : *checks)
      if (check.verdict == Verdict::fails) fails[key_of(check, structure)] = check.utilisation;
  return fails;
}

/// Whether nothing fails that holds now, and what fails now does so no worse.
bool no_worse(const std::map<CheckKey, double>& then, const std::map<CheckKey, double>& now) {
  return std::all_of(then.begin(), then.end(), [&](const auto& fails) {
    const auto known = now.find(fails.first);
    return known != now.end() && fails.second <= known->second * (1 + 1e-9);
  });
}

}  // namespace

Result<std::vector<ChoiceThrift>> thrift(const pattern::Job& job, const pattern::Shelves& shelves,
                                         const std::vector<std::string>& choices, const cutting::Options& cutting) {
  const Result<Garden> garden = garden_of(job, shelves);
  if (!garden) return tl::make_unexpected(garden.error());
  Diagnostics broken;
  const auto patterns = pattern::describe_patterns(pattern::patterns_of(job), shelves, &job.yard, job.style, broken);
  const Result<std::vector<Asked>> asked = those_named(all_numbers(job, patterns, *garden), choices, job);
  if (!asked) return tl::make_unexpected(asked.error());

  const buying::Report now = buying::buy(*garden, job.yards, job.saw, {}, cutting);
  Diagnostics of_site;
  Site site = read_site(job, of_site);
  if (has_error(of_site)) return tl::make_unexpected(std::move(of_site));
  say_house(job, *garden, site);
  std::vector<std::map<CheckKey, double>> fails_now;
  for (const Structure& structure : garden->structures) fails_now.push_back(failing(structure, site));
  const bool each_by_itself = garden->structures.size() == job.orders.size();  // else some share posts
  const std::vector<std::set<std::string>> read = asked_for(job, shelves);
  const buying::Builder as_it_is = [&](double) -> Result<Garden> { return *garden; };
  std::vector<Result<buying::Thrift>> found(asked->size(), fail("not-asked", ""));
  on_two_threads(asked->size(), [&](std::size_t i) {
    const std::size_t order = (*asked)[i].order;
    const buying::MayBe may_be = [&, order](const Garden& then) {
      const std::vector<Structure>& built = then.structures;
      if (built.size() == job.orders.size()) return no_worse(failing(built[order], site), fails_now[order]);
      for (std::size_t k = 0; k < built.size(); ++k)  // parts that share posts change together
        if (!no_worse(failing(built[k], site), fails_now[k])) return false;
      return true;
    };
    const bool matters = !each_by_itself || read[order].count((*asked)[i].info.name) > 0;
    found[i] = buying::thrift((*asked)[i].question,
                              matters ? builder(job, shelves, *garden, (*asked)[i], cutting.cancel) : as_it_is,
                              job.yards, job.saw, job.style, cutting, &now, may_be);
  });
  if (cutting.cancel && *cutting.cancel) return fail("cancelled", "the search was stopped before it was whole");

  std::vector<ChoiceThrift> answers;
  for (std::size_t i = 0; i < found.size(); ++i) {
    if (!found[i]) return tl::make_unexpected(found[i].error());
    const Asked& one = (*asked)[i];
    answers.push_back({job.orders[one.order].name, one.info.name, one.info.unit, one.info.help, *std::move(found[i])});
  }
  return answers;
}

}  // namespace garthwright
