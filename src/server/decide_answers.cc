// SPDX-License-Identifier: Apache-2.0
#include "server/decide_answers.h"

#include <algorithm>
#include <chrono>
#include <optional>

#include "base/patience.h"
#include "decide/advice.h"
#include "decide/decide.h"
#include "decide/decide_json.h"
#include "exchange/json_values.h"

namespace garthwright::server {
namespace {

using exchange::Json;

constexpr double kShareOfTime = 0.8;  // of what is left: what is being tried when it ends must end in time too
constexpr std::chrono::milliseconds kTellEvery{200};

std::string text_of(const Json& json) { return json.dump(-1, ' ', false, Json::error_handler_t::replace); }

/// How far a search has come: a new best at once, a new bound now and then.
class Telling {
 public:
  explicit Telling(const Tell& tell) : tell_(tell) {}

  void operator()(const decide::Progress& now) {
    const auto clock = std::chrono::steady_clock::now();
    const bool better = now.best && (!best_ || *now.best < *best_);
    if (!tell_ || (!better && clock < next_)) return;
    next_ = clock + kTellEvery;
    if (better) best_ = now.best;
    tell_(text_of({{"bound_minor", now.bound.minor}, {"best_minor", best_ ? Json(best_->minor) : Json(nullptr)}}) +
          "\n");
  }

 private:
  const Tell& tell_;
  std::optional<Money> best_;
  std::chrono::steady_clock::time_point next_{};
};

decide::Options options_of(const Search& search) {
  decide::Options options;
  if (const std::optional<double> left = seconds_left())
    options.limit_s = std::clamp(kShareOfTime * *left, 0.1, options.limit_s);
  options.cancel = search.cancel;
  return options;
}

/// A whole answer is the same another time.
Answer last_line(const std::string& answer, const char* called, const Json& texts, bool whole) {
  return {kLines, "{\"answer\":" + answer + ",\"" + called + "\":" + text_of(texts) + "}\n", {}, whole};
}

}  // namespace

Result<Answer> settled(const Search& search) {
  decide::Options options = options_of(search);
  options.on_progress = Telling(search.tell);
  const Result<decide::Answer> found = decide::decide(search.job, search.shelves, options);
  if (!found) return tl::make_unexpected(found.error());
  Json text;
  if (found->stands) {
    const Result<std::string> changed = decide::settled_text(search.text, search.job.file, *found);
    if (!changed) return tl::make_unexpected(changed.error());
    text = *changed;
  }
  return last_line(decide::decide_json(*found, decide::kOneLine), "job", text, found->proven);
}

Result<Answer> advised(const Search& search) {
  const Result<decide::Advice> advice = decide::advise(search.job, search.shelves, options_of(search));
  if (!advice) return tl::make_unexpected(advice.error());
  Json texts = Json::array();
  for (const decide::Way& way : advice->ways) {
    const Result<std::string> changed = decide::taken_text(search.text, search.job.file, way);
    if (!changed) return tl::make_unexpected(changed.error());
    texts.push_back(*changed);
  }
  return last_line(decide::advice_json(*advice, search.job, decide::kOneLine), "jobs", texts, advice->fails == 0);
}

}  // namespace garthwright::server
