// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <map>
#include <set>

#include "strength/checks.h"
#include "strength/durability.h"

namespace garthwright::strength {
namespace {

using namespace durability;

std::string marks(const Structure& s, const std::vector<Wet>& all, Trap trap) {
  std::set<std::string> seen;
  for (const Wet& w : all)
    if (w.trap == trap) seen.insert(s[w.piece].mark);
  std::string words;
  for (const std::string& mark : seen) words += (words.empty() ? "" : ", ") + mark;
  return words;
}

void remark(Checks& checks, CheckKind kind, std::string plain) {
  Check c = new_check(kind);
  c.unit = "1";
  c.verdict = Verdict::attention;
  c.source = "common practice, no source";
  c.plain = std::move(plain);
  checks.push_back(c);
}

}  // namespace

void check_durability(const Structure& s, Checks& checks) {
  std::map<CheckKey, Check> rows;
  for (const Footing& f : s.footings) {
    if (!f.shoe.empty()) continue;  // clear of the ground
    const Piece& post = s[f.post];
    const timber::Section& section = s[post.section];
    const double years = ground_years(section);
    Check c = new_check(CheckKind::ground_line, {body(f.post)});
    c.place = f.centre;
    c.demand = kWantedYears, c.capacity = years, c.unit = "years";
    c.utilisation = kWantedYears / years;
    c.verdict = years < kWantedYears ? Verdict::attention : Verdict::ok;
    c.source = for_the_ground(section)
                   ? "BS 8417: use class 4, 15 years unless 30 were ordered"
                   : "EN 350 and BRE Digest 429, stakes of 50 mm (from memory); thicker ones in step";
    c.plain = for_the_ground(section)
                  ? fmt::format(
                        "Treated for the ground ({}): about {:.0f} years, the end that came from the yard "
                        "downwards; it rots first at the ground line, where a sleeve or a sloped collar helps.",
                        section.treatment, years)
                  : fmt::format(
                        "{} is not treated for the ground: it may rot through at the ground line in about {:.0f} "
                        "years. Take a section of use class 4, or stand it on a metal shoe.",
                        section.treatment.empty() ? section.name : section.treatment + " timber", years);
    rows.try_emplace(key_of(c, s), c);
  }
  for (auto& [_, c] : rows) checks.push_back(c);
  const std::vector<Wet> wet = water_traps(s);
  if (const std::string up = marks(s, wet, Trap::end_grain_up); !up.empty())
    remark(checks, CheckKind::wet_heads,
           fmt::format("Rain stands on the heads of {}: cut them to a slope, cap them, and seal the end grain.", up));
  if (const std::string notched = marks(s, wet, Trap::notch_to_the_sky); !notched.empty())
    remark(checks, CheckKind::wet_notches,
           fmt::format(
               "Water runs into the notches of {}, which open upwards: seal them before they are joined, and bed the "
               "joint so that it drains to one side.",
               notched));
  if (const std::string laps = marks(s, wet, Trap::flat_lap); !laps.empty())
    remark(checks, CheckKind::wet_laps,
           fmt::format(
               "Where timber lies flat along {} it stays wet between: lay a strip of felt or a spacer in, or slope "
               "the top of the lower one.",
               laps));
}

}  // namespace garthwright::strength
