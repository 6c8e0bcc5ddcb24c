// SPDX-License-Identifier: Apache-2.0
#include "plan/read_site.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/near.h"
#include "base/quoted.h"
#include "base/underscored.h"
#include "base/us_customary.h"
#include "ground/soil.h"
#include "strength/climbers.h"
#include "strength/wall_fixings.h"

namespace garthwright {
namespace {

constexpr double kKpaPerPsf = kPaPerPsf / 1000;

/// How open a garden lies, and what the codes call that: EN 1991-1-4 Table 4.1, ASCE 7 26.7.3. ASCE has nothing more
/// sheltered than B. Letters and numbers of the other code are taken for the nearest that is not more sheltered.
struct Exposure {
  const char *word, *terrain, *letter;
};
constexpr Exposure kExposures[] = {{"sheltered", "IV", "B"}, {"average", "III", "B"}, {"open", "II", "C"},
                                   {"coast", "0", "D"},      {"B", "III", "B"},       {"C", "II", "C"},
                                   {"D", "0", "D"},          {"0", "0", "D"},         {"I", "I", "D"},
                                   {"II", "II", "C"},        {"III", "III", "B"},     {"IV", "IV", "B"}};

/// Countries whose annex counts wind as instantaneous for timber; from memory. Elsewhere EN 1995-1-1 Table 2.2's
/// short-term is taken (Germany allows the mean of both: short-term is the safer).
constexpr const char* kInstantaneousWind[] = {"GB", "IE", "FR", "DK"};
constexpr const char* kCountries[] = {"AT", "BE", "CH", "CZ", "DE", "DK", "ES", "FI", "FR", "GB",
                                      "IE", "IT", "LU", "NL", "NO", "PL", "PT", "SE", "US", "CA"};

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
      if (underscored(k) == underscored(*given)) {
        value = k;
        return;
      }
    wrong(*fact, "unknown-" + name, fmt::format("{} \"{}\" is not known", name, *given), suggest(*given, known));
  }
  /// As above, where silence is no assumption.
  void number_if_said(const std::string& name, double least, double most, double& value, double per_unit,
                      const char* unit) {
    if (find(name) != nullptr)
      number(name, least, most, value, per_unit, unit);
    else
      asked.push_back({name, unit, least, most, value / per_unit, {}, {}});
  }
  void word_if_said(const std::string& name, const std::vector<std::string>& known, std::string& value) {
    word(name, known, value, true);
  }
  /// Whatever was never asked for; `besides`: names that stand for one that was.
  void unknown_names(std::vector<std::string> besides) {
    std::vector<std::string> known = std::move(besides);
    for (const SiteQuestion& question : asked) known.push_back(question.name);
    for (const pattern::SiteFact& fact : job_.site)
      if (std::find(known.begin(), known.end(), fact.name) == known.end())
        wrong(fact, "unknown-key", fmt::format("the site has no fact \"{}\"", fact.name), suggest(fact.name, known));
  }
  void assume(const std::string& words) { assumed += (assumed.empty() ? "" : ", ") + words; }
  std::string assumed;
  void wrong(const pattern::SiteFact& fact, std::string code, std::string what, std::string cure) {
    problems_.push_back({Severity::error, std::move(code), std::move(what), std::move(cure), fact.where});
  }

 private:
  static std::string list(const std::vector<std::string>& words) {
    std::string all;
    for (const std::string& w : words) all += (all.empty() ? "" : ", ") + w;
    return all;
  }
  const pattern::Job& job_;
  Diagnostics& problems_;
};

std::vector<std::string> climber_words() {
  std::vector<std::string> words{"none"};
  for (const strength::climbers::Climber& c : strength::climbers::climbers()) words.emplace_back(c.kind);
  return words;
}

/// Ground that no post may be sized in still bears a foot: as fill and loam, peat nothing.
GroundUnderfoot underfoot(const std::string& soil) {
  GroundUnderfoot under;
  const auto plain = ground::plain_soil(soil);
  if (!plain) return under;
  under.phi_deg = plain->phi_deg, under.cu_kpa = plain->cu_kpa;
  if (const auto table = ground::presumptive(plain->material_class)) {
    under.friction = table->friction, under.cohesion_kpa = table->cohesion_psf * kKpaPerPsf;
    under.bears_kpa = table->vertical_psf * kKpaPerPsf;
    return under;
  }
  under.friction = 0;
  under.bears_kpa = plain->phi_deg == 0 && plain->cu_kpa == 0 ? ground::kCityBearing.organic
                                                              : ground::kCityBearing.filled_ground_or_loam * kKpaPerPsf;
  return under;
}

/// A structure's own climber is one of those the site may name.
void check_climbers(const pattern::Job& job, Diagnostics& problems) {
  const std::vector<std::string> known = climber_words();
  for (const pattern::Order& order : job.orders)
    if (!order.climber.empty() && std::find(known.begin(), known.end(), order.climber) == known.end())
      problems.push_back(
          {Severity::error, "unknown-climber",
           fmt::format("climber {} of structure {} is not known", quoted(order.climber), quoted(order.name)),
           suggest(order.climber, known), order.climber_where});
}

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
    site.frost_mm = 12 * kMillimetresPerInch;
  }
  if (us)
    reader.number("wind_speed", 60, 220, site.wind_m_s, kMetrePerSecondPerMph, "mph");
  else
    reader.number("wind_speed", 15, 60, site.wind_m_s, 1, "m/s");
  std::vector<std::string> exposures;
  for (const Exposure& e : kExposures) exposures.emplace_back(e.word);
  if (reader.find("terrain") != nullptr && reader.find("exposure") == nullptr)
    reader.word("terrain", exposures, site.exposure);
  else
    reader.word("exposure", exposures, site.exposure, true);
  for (const Exposure& e : kExposures)
    if (site.exposure == e.word) site.terrain = e.terrain, site.exposure_letter = e.letter;
  if (reader.find("exposure") == nullptr && reader.find("terrain") == nullptr)
    reader.assume(fmt::format("exposure {} ({} {})", site.exposure, us ? "ASCE 7 exposure" : "EN 1991-1-4 terrain",
                              us ? site.exposure_letter : site.terrain));
  if (us)
    reader.number("snow", 0, 200, site.snow_kpa, kKpaPerPsf, "psf");
  else
    reader.number("snow", 0, 10, site.snow_kpa, 1, "kN/m²");
  std::vector<std::string> soils;
  const std::vector<std::string> plants = climber_words();
  for (const ground::PlainSoil& s : ground::plain_soils()) soils.emplace_back(s.name);
  reader.word("soil", soils, site.soil);
  site.underfoot = underfoot(site.soil);
  if (us)
    reader.number_if_said("clay_strength", 200, 6000, site.clay_kpa, kKpaPerPsf, "psf");
  else
    reader.number_if_said("clay_strength", 10, 300, site.clay_kpa, 1, "kPa");
  if (site.clay_kpa > 0) site.underfoot.cu_kpa = site.clay_kpa;
  if (site.clay_kpa > 0 && !ground::is_clay(site.soil))
    reader.wrong(*reader.find("clay_strength"), "not-clay", "clay_strength is of clay, and the soil is " + site.soil,
                 "say which clay it is (soil = \"soft clay\"), or leave clay_strength out");
  if (us)
    reader.number("frost_depth", 0, 100, site.frost_mm, kMillimetresPerInch, "in");
  else
    reader.number("frost_depth", 0, 2500, site.frost_mm, 1, "mm");
  reader.word("climber", plants, site.climber);
  std::string foliage = "open", consequence = "normal";
  reader.word_if_said("foliage", {"open", "closed"}, foliage);
  site.closed_foliage = foliage == "closed";
  reader.word_if_said("consequence", {"low", "normal", "RC1", "RC2"}, consequence);
  site.low_consequence = consequence == "low" || consequence == "RC1";
  reader.word_if_said("country", {std::begin(kCountries), std::end(kCountries)}, site.country);
  if (reader.find("country") == nullptr && !us) reader.assume("wind short-term on timber, kmod 0.7 (no country given)");
  for (const char* country : kInstantaneousWind) site.wind_is_instantaneous |= site.country == country;
  if (us) site.house_eaves_mm = 16 * 12 * kMillimetresPerInch, site.house_run_mm = 13 * 12 * kMillimetresPerInch;
  const double per_length = us ? kMillimetresPerInch : 1;
  const char* length = us ? "in" : "mm";
  reader.number_if_said("house_eaves", 0, us ? 1000 : 25000, site.house_eaves_mm, per_length, length);
  reader.number_if_said("house_run", 0, us ? 1000 : 25000, site.house_run_mm, per_length, length);
  reader.number_if_said("house_pitch", 0, 75, site.house_pitch_deg, 1, "degrees");
  reader.number_if_said("climber_years", 0, 200, site.climber_years, 1, "years");
  reader.number_if_said("moisture", 5, 30, site.moisture_percent, 1, "%");
  // How it is all brought: the sheets read it from the job.
  double trailer = 0, carry = 0;
  reader.number_if_said("trailer", 0, us ? 600 : 15000, trailer, per_length, length);
  reader.number_if_said("carry", 0, us ? 3000 : 1000, carry, 1, us ? "ft" : "m");
  std::vector<std::string> walls;
  for (const strength::WallKind& w : strength::wall_kinds()) walls.emplace_back(w.name);
  reader.word_if_said("wall", walls, site.wall);
  std::string cut_posts = "at the bench";  // read by the plan (plan.cc): no study of strength knows it
  reader.word_if_said("cut_posts", {"at the bench", "in place"}, cut_posts);
  reader.unknown_names({"exposure", "terrain"});
  site.assumed = reader.assumed;
  return site;
}

}  // namespace

Site read_site(const pattern::Job& job, Diagnostics& problems) {
  Reader reader(job, problems);
  check_climbers(job, problems);
  Site site = read(reader, job);
  for (const timber::FixingItem& item : job.yard.fixings)
    if (item.kind == timber::FixingKind::hinge) site.hinges.push_back(item);
  return site;
}

std::vector<SiteQuestion> site_questions(Site::Route route) {
  pattern::Job silent;
  silent.yard.units = route == Site::Route::us ? "ft-in" : "mm";
  Diagnostics none;
  Reader reader(silent, none);
  read(reader, silent);
  return reader.asked;
}

void say_house(const pattern::Job& job, const Garden& garden, Site& site) {
  bool leans = false;
  for (const Structure& s : garden.structures)
    for (const Joint& j : s.joints) leans |= j.a == kWall || j.b == kWall;
  if (!leans || site.snow_kpa <= 0) return;
  for (const pattern::SiteFact& fact : job.site)
    if (fact.name.starts_with("house_")) return;
  site.assumed += fmt::format("{}a house with its eaves {} up and a roof of {:.0f}° over {}",
                              site.assumed.empty() ? "" : ", ", format_length(site.house_eaves_mm, site.print),
                              site.house_pitch_deg, format_length(site.house_run_mm, site.print));
}

}  // namespace garthwright
