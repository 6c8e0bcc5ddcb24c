// SPDX-License-Identifier: Apache-2.0
#include "sequence/rates.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <vector>

#include "base/near.h"
#include "base/toml.h"

namespace garthwright::sequence {
namespace {

struct Number {
  const char* name;
  double Rates::*member;
};

constexpr std::array kNumbers{Number{"prepare_piece", &Rates::prepare_piece},
                              Number{"machine_notch", &Rates::machine_notch},
                              Number{"seal_piece", &Rates::seal_piece},
                              Number{"dig_litre", &Rates::dig_litre},
                              Number{"gravel_hole", &Rates::gravel_hole},
                              Number{"fetch", &Rates::fetch},
                              Number{"fetch_kg", &Rates::fetch_kg},
                              Number{"fetch_m", &Rates::fetch_m},
                              Number{"screw", &Rates::screw},
                              Number{"coach_screw", &Rates::coach_screw},
                              Number{"bolt", &Rates::bolt},
                              Number{"nail", &Rates::nail},
                              Number{"by_hand", &Rates::by_hand},
                              Number{"cramped", &Rates::cramped},
                              Number{"overhead", &Rates::overhead},
                              Number{"tool_change", &Rates::tool_change},
                              Number{"second_person", &Rates::second_person},
                              Number{"stage", &Rates::stage},
                              Number{"turn", &Rates::turn},
                              Number{"turn_kg", &Rates::turn_kg},
                              Number{"prop", &Rates::prop},
                              Number{"unprop", &Rates::unprop},
                              Number{"batten", &Rates::batten},
                              Number{"plumb", &Rates::plumb},
                              Number{"fill_hole", &Rates::fill_hole},
                              Number{"setting_h", &Rates::setting_h},
                              Number{"platform_mm", &Rates::platform_mm}};

Place place_of(const toml::node& node, const std::string& file) {
  return {file, static_cast<int>(node.source().begin.line), static_cast<int>(node.source().begin.column), {}};
}

}  // namespace

Result<Rates> parse_rates(std::string_view text, const std::string& file) {
  const toml::parse_result parsed = toml::parse(text);
  if (!parsed) {
    const auto& at = parsed.error().source().begin;
    return fail("bad-toml", std::string(parsed.error().description()), "mend the line",
                {file, static_cast<int>(at.line), static_cast<int>(at.column), {}});
  }
  Rates rates;
  Diagnostics faults;
  const auto fault = [&](const toml::node& node, const std::string& what, const std::string& cure) {
    faults.push_back({Severity::error, "bad-rate", what, cure, place_of(node, file)});
  };
  std::vector<std::string> known{"person"};
  for (const Number& n : kNumbers) known.emplace_back(n.name);
  for (const auto& [key, node] : parsed.table()) {
    const std::string name(key.str());
    if (name == "person") {
      const auto word = node.value<std::string>();
      if (!node.is_string() || (*word != "man" && *word != "woman"))
        fault(node, "person is neither man nor woman", "write person = \"man\" or person = \"woman\"");
      else
        rates.person = *word;
      continue;
    }
    const auto* number =
        std::find_if(kNumbers.begin(), kNumbers.end(), [&](const Number& n) { return name == n.name; });
    if (number == kNumbers.end()) {
      fault(node, fmt::format("there is no rate \"{}\"", name), suggest(name, known));
    } else if (const auto value = node.value<double>(); !node.is_number() || !(*value >= 0) || *value > 1e5) {
      fault(node, fmt::format("{} is no number from 0 to 100000", name), "write it as a plain number");
    } else {
      rates.*(number->member) = *value;
    }
  }
  if (!faults.empty()) return tl::make_unexpected(std::move(faults));
  return rates;
}

double guideline_kg(std::string_view person, double hands_mm) {
  // Heights of mid lower leg, knuckle, elbow and shoulder of a person of 1.75 m.
  constexpr std::array kUpTo{300.0, 750.0, 1100.0, kShoulder};
  constexpr std::array kMan{10.0, 20.0, 25.0, 20.0, 10.0}, kWoman{7.0, 13.0, 16.0, 13.0, 7.0};
  const auto zone = static_cast<std::size_t>(
      std::find_if(kUpTo.begin(), kUpTo.end(), [&](double h) { return hands_mm <= h; }) - kUpTo.begin());
  return person == "woman" ? kWoman[zone] : kMan[zone];
}

double team_share(int people) { return people <= 1 ? 1 : people == 2 ? 2.0 / 3 : 0.5; }

double hands_over_platform(const Rates& rates, double z_mm) {
  return z_mm - std::clamp(z_mm - kShoulder, 0.0, rates.platform_mm);
}

}  // namespace garthwright::sequence
