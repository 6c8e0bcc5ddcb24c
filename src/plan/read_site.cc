// SPDX-License-Identifier: Apache-2.0
#include "plan/read_site.h"

#include <fmt/format.h>

#include "base/near.h"
#include "ground/soil.h"
#include "strength/climbers.h"

namespace garthwright {
namespace {

constexpr double kMetrePerSecondPerMph = 0.44704, kKpaPerPsf = 0.0478803, kMmPerInch = 25.4;

class Reader {
 public:
  Reader(const pattern::Job& job, Diagnostics& problems) : job_(job), problems_(problems) {}

  std::vector<SiteQuestion> asked;  ///< each fact as it was asked for, in order

  const pattern::SiteFact* find(const std::string& name) const {
    for (const pattern::SiteFact& fact : job_.site)
      if (fact.name == name) return &fact;
    return nullptr;
  }
  /// False, and noted as assumed, when the job is silent.
  bool number(const std::string& name, double least, double most, double& value, double per_unit, const char* unit) {
    asked.push_back({name, unit, least, most, value / per_unit, {}, {}});
    const pattern::SiteFact* fact = find(name);
    if (fact == nullptr) {
      assume(fmt::format("{} {:g} {}", name, value / per_unit, unit));
      return false;
    }
    const double* given = std::get_if<double>(&fact->value);
    if (given == nullptr || !(*given >= least && *given <= most)) {
      wrong(*fact, given != nullptr ? "out-of-range" : "wrong-type",
            given != nullptr ? fmt::format("{} of the site is {:g} {}", name, *given, unit)
                             : fmt::format("{} of the site is not a number", name),
            fmt::format("give {:g} to {:g} {}", least, most, unit));
      return false;
    }
    value = *given * per_unit;
    return true;
  }
  void word(const std::string& name, const std::vector<std::string>& known, std::string& value, bool silent = false) {
    asked.push_back({name, {}, 0, 0, 0, known, value});
    const pattern::SiteFact* fact = find(name);
    if (fact == nullptr) {
      if (!silent) assume(name + " " + value);
      return;
    }
    const std::string* given = std::get_if<std::string>(&fact->value);
    if (given == nullptr)
      return wrong(*fact, "wrong-type", name + " of the site is not text", "known are " + list(known));
    for (const std::string& k : known)
      if (k == *given) {
        value = k;
        return;
      }
    wrong(*fact, "unknown-" + name, fmt::format("{} \"{}\" is not known", name, *given), suggest(*given, known));
  }
  void unknown_names(const std::vector<std::string>& known) {
    for (const pattern::SiteFact& fact : job_.site) {
      bool is_known = false;
      for (const std::string& k : known) is_known = is_known || k == fact.name;
      if (!is_known)
        wrong(fact, "unknown-key", fmt::format("the site has no fact \"{}\"", fact.name), suggest(fact.name, known));
    }
  }
  std::string assumed;

 private:
  void assume(const std::string& words) { assumed += (assumed.empty() ? "" : ", ") + words; }
  static std::string list(const std::vector<std::string>& words) {
    std::string all;
    for (const std::string& w : words) all += (all.empty() ? "" : ", ") + w;
    return all;
  }
  void wrong(const pattern::SiteFact& fact, std::string code, std::string what, std::string cure) {
    problems_.push_back({Severity::error, std::move(code), std::move(what), std::move(cure), fact.where});
  }
  const pattern::Job& job_;
  Diagnostics& problems_;
};

Site read(Reader& reader, const pattern::Job& job) {
  Site site;
  site.print = job.style;
  std::string route = job.yard.units == "ft-in" ? "US" : "EN";
  reader.word("route", {"EN", "US"}, route, true);
  const bool us = route == "US";
  site.route = us ? Site::Route::us : Site::Route::en;
  if (us) {
    site.wind_m_s = 115 * kMetrePerSecondPerMph;
    site.snow_kpa = 20 * kKpaPerPsf;
    site.frost_mm = 12 * kMmPerInch;
  }
  if (us)
    reader.number("wind_speed", 60, 220, site.wind_m_s, kMetrePerSecondPerMph, "mph");
  else
    reader.number("wind_speed", 15, 60, site.wind_m_s, 1, "m/s");
  if (us)
    reader.word("exposure", {"B", "C", "D"}, site.exposure);
  else
    reader.word("terrain", {"0", "I", "II", "III", "IV"}, site.terrain);
  if (us)
    reader.number("snow", 0, 200, site.snow_kpa, kKpaPerPsf, "psf");
  else
    reader.number("snow", 0, 10, site.snow_kpa, 1, "kN/m²");
  std::vector<std::string> soils, plants{"none"};
  for (const ground::PlainSoil& s : ground::plain_soils()) soils.emplace_back(s.name);
  for (const strength::climbers::Climber& c : strength::climbers::climbers()) plants.emplace_back(c.kind);
  reader.word("soil", soils, site.soil);
  if (us)
    reader.number("frost_depth", 0, 100, site.frost_mm, kMmPerInch, "in");
  else
    reader.number("frost_depth", 0, 2500, site.frost_mm, 1, "mm");
  reader.word("climber", plants, site.climber);
  if (reader.find("climber_years") != nullptr) reader.number("climber_years", 0, 200, site.climber_years, 1, "years");
  if (reader.find("moisture") != nullptr) reader.number("moisture", 5, 30, site.moisture_percent, 1, "%");
  reader.unknown_names({"route", "wind_speed", us ? "exposure" : "terrain", "snow", "soil", "frost_depth", "climber",
                        "climber_years", "moisture"});
  site.assumed = reader.assumed;
  return site;
}

}  // namespace

Site read_site(const pattern::Job& job, Diagnostics& problems) {
  Reader reader(job, problems);
  return read(reader, job);
}

std::vector<SiteQuestion> site_questions(Site::Route route) {
  pattern::Job silent;
  silent.yard.units = route == Site::Route::us ? "ft-in" : "mm";
  Diagnostics none;
  Reader reader(silent, none);
  read(reader, silent);
  return reader.asked;
}

}  // namespace garthwright
