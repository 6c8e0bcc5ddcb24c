// SPDX-License-Identifier: Apache-2.0
#include "decide/decide.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <map>

#include "base/near.h"
#include "pattern/job_text.h"
#include "plan/read_site.h"

namespace garthwright::decide {
namespace {

std::vector<Settled> settled(const pattern::Job& job, const std::vector<Open>& opens, const Combination& best) {
  std::vector<Settled> all;
  for (std::size_t i = 0; i < opens.size(); ++i) {
    const Value& value = opens[i].values[best[i]];
    all.push_back({opens[i].order, job.orders[opens[i].order].name, opens[i].name, in_toml(opens[i], value, job.style),
                   opens[i].was, in_words(opens[i], value, job.style), value});
  }
  return all;
}

Answer answer_of(const pattern::Job& job, const std::vector<Open>& opens, const Found& found) {
  Answer answer;
  answer.fixings = found.fixings;
  answer.stands = found.best.has_value();
  if (found.best) answer.choices = settled(job, opens, *found.best);
  answer.total = found.total;
  answer.lower_bound = found.proven && found.best ? std::min(found.total, found.bound) : found.bound;
  answer.proven = found.proven;
  answer.combinations = count(opens);
  answer.counts = found.counts;
  answer.plans = found.plans;
  answer.first_s = found.first_s;
  answer.seconds = found.seconds;
  answer.most_often = found.most_often;
  return answer;
}

Result<std::size_t> open_named(const pattern::Job& job, const std::vector<Open>& opens, const std::string& name) {
  std::vector<std::string> known;
  std::optional<std::size_t> found;
  for (std::size_t i = 0; i < opens.size(); ++i) {
    if (!opens[i].number()) continue;
    const std::string& structure = job.orders[opens[i].order].name;
    known.push_back(opens[i].name);
    if (opens[i].name != name && structure + "." + opens[i].name != name) continue;
    if (found)
      return fail("unclear-choice", fmt::format("several structures leave {} open", name),
                  fmt::format("say which, as {}.{}", structure, name));
    found = i;
  }
  if (found) return *found;
  return fail("unknown-choice", fmt::format("no length or count called \"{}\" is open", name), suggest(name, known));
}

/// From its largest value down: the first for which something stands within the money. What has less of it counts as
/// dearer: it is not what was asked for.
Result<Answer> most_for(const pattern::Job& job, const pattern::Shelves& shelves, const std::vector<Open>& opens,
                        const Options& options) {
  const Result<std::size_t> which = open_named(job, opens, options.most->choice);
  if (!which) return tl::make_unexpected(which.error());
  const auto began = std::chrono::steady_clock::now();
  const auto seconds = [&] { return std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count(); };
  Answer sum;
  sum.combinations = count(opens);
  sum.proven = true;
  const std::vector<Value>& values = opens[*which].values;
  for (std::size_t left = values.size(); left-- > 0 && !sum.stands;) {
    std::vector<Open> fewer = opens;
    fewer[*which].values = {values[left]};
    fewer[*which].now.reset();
    const Trials trials(job, shelves, fewer, options.on_hand, options.cancel);
    SearchOptions wanted;
    wanted.limit_s =
        options.limit_s > 0 ? std::max(0.01, (options.limit_s - seconds()) / static_cast<double>(left + 1)) : 0;
    wanted.at_most = options.most->within;
    wanted.cancel = options.cancel;
    wanted.on_progress = options.on_progress;
    const Found found = search(trials, wanted);
    if (found.cancelled) return fail("cancelled", "the search was stopped before it was whole");
    const Answer one = answer_of(job, fewer, found);
    sum.stands = one.stands;
    sum.choices = one.choices;
    sum.fixings = one.fixings;
    sum.total = one.total;
    sum.lower_bound = one.lower_bound;
    sum.proven &= one.proven;
    sum.counts.dearer += one.counts.dearer + (one.stands ? left * one.combinations : 0);
    sum.counts.refused += one.counts.refused;
    sum.counts.shape += one.counts.shape;
    sum.counts.alike += one.counts.alike;
    sum.counts.tried += one.counts.tried;
    sum.plans += one.plans;
    if (one.stands) sum.first_s = seconds() - one.seconds + one.first_s;
    sum.most_often = one.most_often;
  }
  sum.seconds = seconds();
  return sum;
}

}  // namespace

Result<Answer> decide(const pattern::Job& job, const pattern::Shelves& shelves, const Options& options) {
  const Result<std::vector<Open>> opens = open_choices(job, shelves);
  if (!opens) return tl::make_unexpected(opens.error());
  if (opens->empty())
    return fail("nothing-open", "the job leaves no choice open",
                "write [structure.open] with the choices to settle (docs/job-file.md), or ask for --advice",
                {job.file, 0, 0, {}});
  Diagnostics of_site;
  read_site(job, of_site);
  if (has_error(of_site)) return tl::make_unexpected(std::move(of_site));
  if (options.most) return most_for(job, shelves, *opens, options);
  const Trials trials(job, shelves, *opens, options.on_hand, options.cancel);
  SearchOptions wanted;
  wanted.limit_s = options.limit_s;
  wanted.cancel = options.cancel;
  wanted.on_progress = options.on_progress;
  const Found found = search(trials, wanted);
  if (found.cancelled) return fail("cancelled", "the search was stopped before it was whole");
  return answer_of(job, *opens, found);
}

Result<std::string> settled_text(const std::string& text, const std::string& file, const Answer& answer) {
  Result<pattern::JobText> job = pattern::JobText::read(text, file);
  if (!job) return tl::make_unexpected(job.error());
  std::map<std::size_t, std::vector<std::pair<std::string, std::string>>> by_structure;
  for (const Settled& choice : answer.choices) by_structure[choice.order].emplace_back(choice.name, choice.value);
  for (const auto& [number, values] : by_structure)
    if (const Result<void> done = job->settle(number, values); !done) return tl::make_unexpected(done.error());
  for (const FixedAnew& fixed : answer.fixings)
    if (const Result<void> done = job->set_fixing(fixed.order, fixed.joint, pattern::toml_text(fixed.value)); !done)
      return tl::make_unexpected(done.error());
  return job->text();
}

}  // namespace garthwright::decide
