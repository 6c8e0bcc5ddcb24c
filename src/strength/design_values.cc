// SPDX-License-Identifier: Apache-2.0
#include "strength/design_values.h"

#include <algorithm>
#include <cmath>
#include <string>

#include "base/us_customary.h"
#include "strength/en338.h"
#include "strength/nds_members.h"
#include "strength/nds_values.h"

namespace garthwright::strength {
namespace {

std::optional<DesignValues> european(const Site& site, const timber::Section& section, const Free& f,
                                     Duration duration) {
  const auto c = strength_class(section.strength_class);
  if (!c) return std::nullopt;
  const double k = kmod(site, duration) / ec5::gamma_m(ec5::Material::solid);
  DesignValues r;
  r.fb_edge = k * c->fm_k * ec5::kh(f.width, c->rho_k);
  r.fb_flat = k * c->fm_k * ec5::kh(f.thickness, c->rho_k);
  r.ft = k * c->ft_0_k * ec5::kh(std::max(f.width, f.thickness), c->rho_k);
  r.fc = k * c->fc_0_k;
  r.fv = k * c->fv_k;
  r.fc_across = k * c->fc_90_k;
  r.kc_edge = ec5::slenderness_of(f.bows_edge, f.width, c->fc_0_k, c->e0_05).kc;
  r.kc_flat = ec5::slenderness_of(f.bows_flat, f.thickness, c->fc_0_k, c->e0_05).kc;
  const double lef =
      ec5::beam_effective_length(f.bows_flat, f.width, ec5::BeamLoad::uniform, ec5::LoadedEdge::compression);
  r.k_tip = ec5::kcrit(
      ec5::relative_bending_slenderness(c->fm_k, ec5::critical_bending_stress(f.thickness, f.width, lef, c->e0_05)));
  r.kcr = ec5::kKcrSolid;
  return r;
}

/// "SP No.2" → Southern Pine, No.2.
std::pair<std::string, std::string> species_and_grade(const std::string& name) {
  const std::size_t space = name.find(' ');
  const std::string head = name.substr(0, space);
  const std::string grade = space == std::string::npos ? "" : name.substr(space + 1);
  if (head == "SP") return {"Southern Pine", grade};
  if (head == "DFL" || head == "DF-L") return {"Douglas Fir-Larch", grade};
  if (head == "SPF") return {"Spruce-Pine-Fir", grade == "No.2" ? "No.1/No.2" : grade};
  if (head == "HF") return {"Hem-Fir", grade};
  if (head == "WC") return {"Western Cedars", grade};
  return {head, grade};
}

std::optional<DesignValues> american(const timber::Section& section, const Free& f, Duration duration) {
  const auto [species, grade] = species_and_grade(section.strength_class);
  const double wide = std::ceil(f.width / kMillimetresPerInch), thick = std::ceil(f.thickness / kMillimetresPerInch);
  const bool timbers = thick >= 5, pine = species == "Southern Pine";
  const auto table = timbers ? nds::Table::timbers_4d : pine ? nds::Table::southern_pine_4b : nds::Table::dimension_4a;
  const auto v = nds::reference_value(species, grade, table, wide);
  if (!v) return std::nullopt;
  using enum nds::Property;
  // Value with size and wet-service factors; Southern Pine timbers are tabled wet.
  const auto wet = [&](nds::Property p, double value) {
    const double sized = value * (table == nds::Table::dimension_4a ? nds::size_factor(p, wide, thick) : 1.0);
    return sized * (timbers && pine ? 1.0 : nds::wet_service_factor(p, sized));
  };
  const double fb_star = wet(fb, v->fb) * duration.cd, fc_star = wet(fc, v->fc) * duration.cd;
  const double e_min = v->e_min * (timbers && pine ? 1.0 : nds::wet_service_factor(e, v->e_min));
  const auto column = [&](double bows, double size) {
    return nds::column(fc_star, e_min, std::min(bows, 50 * size) / kMillimetresPerInch, size / kMillimetresPerInch);
  };
  const nds::Column edge = column(f.bows_edge, f.width), flat = column(f.bows_flat, f.thickness);
  const nds::Beam beam =
      nds::beam(fb_star, e_min, f.bows_flat / kMillimetresPerInch, std::min(f.width, f.thickness) / kMillimetresPerInch,
                std::max(f.width, f.thickness) / kMillimetresPerInch);
  DesignValues r;
  r.fb_edge = fb_star * kMpaPerPsi;
  r.fb_flat = r.fb_edge;  // the flat-use factor is left out, on the safe side
  r.ft = wet(ft, v->ft) * duration.cd * kMpaPerPsi;
  r.fc = fc_star * kMpaPerPsi;
  r.fv = v->fv * (timbers && pine ? 1.0 : nds::wet_service_factor(fv, v->fv)) * duration.cd * kMpaPerPsi;
  r.fc_across = v->fc_perp * nds::wet_service_factor(fc_perp, v->fc_perp) * kMpaPerPsi;
  r.kc_edge = edge.cp, r.kc_flat = flat.cp;
  r.f_ce_edge = edge.f_ce * kMpaPerPsi, r.f_ce_flat = flat.f_ce * kMpaPerPsi;
  if (f.width > 2 * f.thickness) r.k_tip = beam.cl, r.f_be = beam.f_be * kMpaPerPsi;  // 3.3.3
  return r;
}

}  // namespace

Duration duration_of(const combinations::Combination& c) {
  if (c.wind > 0 || c.lift > 0) return {ec5::Duration::short_term, 1.6, true};
  if (c.snow > 0 && c.person == 0) return {ec5::Duration::short_term, 1.15};
  if (c.person > 0 || c.live > 0) return {ec5::Duration::short_term, 1.0};
  return {ec5::Duration::permanent, 0.9};
}

double kmod(const Site& site, Duration duration) {
  return ec5::kmod(ec5::ServiceClass::three,
                   duration.wind && site.wind_is_instantaneous ? ec5::Duration::instantaneous : duration.en);
}

std::optional<DesignValues> design_values(const Site& site, const timber::Section& section, const Free& free,
                                          Duration duration) {
  return site.route == Site::Route::us ? american(section, free, duration) : european(site, section, free, duration);
}

std::optional<double> specific_gravity_of(const timber::Section& section) {
  return nds::specific_gravity(species_and_grade(section.strength_class).first);
}

double bending_use(const Site& site, const DesignValues& v, const Stresses& s) {
  const double fb_edge = v.k_tip * v.fb_edge;
  if (site.route == Site::Route::us)
    return s.axial < 0 ? nds::compression_bending(nds::BothAxes{.fc = -s.axial,
                                                                .fc_prime = v.fc * std::min(v.kc_edge, v.kc_flat),
                                                                .f_ce1 = v.f_ce_edge,
                                                                .f_ce2 = v.f_ce_flat,
                                                                .f_be = v.f_be,
                                                                .fb1 = s.edge,
                                                                .fb1_prime = fb_edge,
                                                                .fb2 = s.flat,
                                                                .fb2_prime = v.fb_flat})
                       : nds::tension_bending(s.axial, v.ft, s.edge, fb_edge) + s.flat / v.fb_flat;
  const ec5::Bending bending{s.edge, fb_edge, s.flat, v.fb_flat};
  return s.axial < 0 ? ec5::compression_bending(-s.axial, v.fc, v.kc_edge, v.kc_flat, bending).worse()
                     : ec5::tension_bending(s.axial, v.ft, bending);
}

}  // namespace garthwright::strength
