// SPDX-License-Identifier: Apache-2.0
#include "strength/site_loads.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "strength/climbers.h"
#include "strength/combinations.h"
#include "strength/snow.h"
#include "strength/wind_asce.h"
#include "strength/wind_en.h"

namespace garthwright::strength {
namespace {

constexpr double kGravity = 9.81, kMm3PerM3 = 1e9, kPaPerMpa = 1e6, kFtPerMm = 1 / 304.8, kMphPerMs = 1 / 0.44704;
constexpr double kPaPerPsf = 47.8803;
constexpr double kFoliageDepth = 300;  // mm of foliage over a grown roof, a proposal of our own

wind_en::Terrain terrain(const std::string& name) {
  using enum wind_en::Terrain;
  return name == "0" ? sea : name == "I" ? open : name == "III" ? suburb : name == "IV" ? town : farmland;
}

/// Coefficient on the gross area of a panel so solid.
double panel_coefficient(const Site& site, double solidity) {
  if (site.route == Site::Route::us) return wind_asce::panel_gross(solidity, wind_asce::wall(0.5, 1));
  return wind_en::panel_gross(solidity, wind_en::kSignboard, wind_en::kSignboard);
}

}  // namespace

Growth growth_of(const Site& site) {
  Growth g;
  const auto c = climbers::climber(site.climber);
  if (!c) return g;
  g = {c->solidity_summer, c->solidity_winter, c->wet_mass_kg_m2, c->years_to_mature, c->solidity_winter > 0.9, true};
  return g;
}

double wind_pressure(const Site& site, double top_mm) {
  if (site.route == Site::Route::en)
    return wind_en::peak_pressure(site.wind_m_s, terrain(site.terrain), top_mm / 1000) / kPaPerMpa;
  using enum wind_asce::ExposureCategory;
  const auto category = site.exposure == "B" ? b : site.exposure == "D" ? d : c;
  const double kz = wind_asce::kz(wind_asce::Edition::asce_7_16, category, top_mm * kFtPerMm);
  const double psf = wind_asce::pressure_psf(site.wind_m_s * kMphPerMs, kz, 1, wind_asce::kKd, 1) * wind_asce::kGust;
  // 29.7: no less than 16 psf on the projected area; a bar's coefficient is about 2.
  return std::max(psf, wind_asce::kLeastPsf / 2) * kPaPerPsf / kPaPerMpa;
}

SiteLoads::SiteLoads(const Structure& s, const Model& m, const Site& site)
    : s_(s), m_(m), site_(site), growth_(growth_of(site)) {
  for (const Role wanted : {Role::purlin, Role::rafter, Role::board}) {
    for (std::size_t p = 0; p < s.pieces.size() && (roof_.empty() || s[roof_.front()].role == wanted); ++p)
      if (s.pieces[p].role == wanted && m.carries[p] && std::abs(s.pieces[p].frame.x.z) < 0.7)
        roof_.push_back(PieceId{static_cast<int>(p)});
    if (!roof_.empty()) break;
  }
  for (std::size_t p = 0; p < s.pieces.size(); ++p)
    top_ = std::max(top_, world_box(s, body(PieceId{static_cast<int>(p)})).max.z);
  pressure_ = wind_pressure(site, top_);
  for (const PieceId p : roof_) {
    const Box box = world_box(s, body(p));
    roof_box_ = p == roof_.front() ? box : enclosing(roof_box_, box);
    roof_solid_ += box.size().x * box.size().y;
    roof_length_ += s[p].length.value();
  }
  if (roof_.empty()) return;
  roof_area_ = roof_box_.size().x * roof_box_.size().y;
  const double across = roof_area_ / std::max(1.0, roof_length_ / static_cast<double>(roof_.size()));
  gap_ = roof_.size() > 1 ? (across - roof_solid_ / (roof_length_ / static_cast<double>(roof_.size()))) /
                                static_cast<double>(roof_.size() - 1)
                          : 1e9;
}

/// A force shared among pieces: over the bars within the band of heights, or at the nearest node.
void SiteLoads::spread(frame::Loads& loads, const std::vector<PieceId>& on, double low, double high, Vec3 force) const {
  if (on.empty()) return;
  for (const PieceId p : on) {
    const Vec3 share = (1.0 / static_cast<double>(on.size())) * force;
    double length = 0;
    std::vector<const Bar*> within;
    for (const Bar& bar : m_.bars) {
      if (bar.piece != p) continue;
      const double z = middle_at(s_[p], (bar.from_mm + bar.to_mm) / 2).z;
      if (z < low || z > high) continue;
      within.push_back(&bar);
      length += bar.to_mm - bar.from_mm;
    }
    if (within.empty()) {
      const auto& stations = m_.stations[static_cast<std::size_t>(p.index)];
      loads.on_nodes.push_back({stations[stations.size() / 2].second, {share.x, share.y, share.z}, {}});
    }
    for (const Bar* bar : within)
      loads.on_members.push_back({bar->member, {share.x / length, share.y / length, share.z / length}});
  }
}

frame::Loads SiteLoads::dead() const {
  frame::Loads loads;
  const double kg = kGravity / kMm3PerM3;
  for (const Bar& bar : m_.bars) {
    const Piece& p = s_[bar.piece];
    const double q = p.width.value() * p.thickness.value() * s_[p.section].density_as_bought_kg_m3 * kg;
    loads.on_members.push_back({bar.member, {0, 0, -q}});
  }
  for (std::size_t p = 0; p < s_.pieces.size(); ++p)
    if (!m_.carries[p])
      spread(loads, m_.carried_piece[p], -1e9, 1e9,
             {0, 0, -s_.pieces[p].blank().volume() * s_[s_.pieces[p].section].density_as_bought_kg_m3 * kg});
  for (std::size_t p = 0; p < s_.panels.size(); ++p)
    spread(loads, m_.carried_panel[p], -1e9, 1e9, {0, 0, -s_.panels[p].mass_kg * kGravity});
  return loads;
}

frame::Loads SiteLoads::plant(double coverage) const {
  frame::Loads loads;
  const double q = growth_.kg_m2 * kGravity * coverage / 1e6;  // N/mm²
  for (std::size_t p = 0; p < s_.panels.size(); ++p) {
    const Box box = world_box(s_, body(PanelId{static_cast<int>(p)}));
    spread(loads, m_.carried_panel[p], box.min.z, box.max.z,
           {0, 0, -q * s_.panels[p].width.value() * s_.panels[p].height.value()});
  }
  for (const Bar& bar : m_.bars)
    if (std::find(roof_.begin(), roof_.end(), bar.piece) != roof_.end())
      loads.on_members.push_back({bar.member, {0, 0, -q * roof_area_ / roof_length_}});
  return loads;
}

frame::Loads SiteLoads::snow() const {
  frame::Loads loads;
  if (roof_.empty()) return loads;
  const double kpa = site_.route == Site::Route::en
                         ? snow::on_roof(snow::mu1(0), site_.sheltered_snow ? 1.2 : 1.0, 1, site_.snow_kpa)
                         : snow::flat_roof(1.0, snow::kOpenAir, 1, site_.snow_kpa);
  const double share = snow::slat_share(roof_solid_ / roof_area_, gap_, growth_.evergreen);
  const double q = kpa * 1e-3 * share * roof_area_ / roof_length_;
  for (const Bar& bar : m_.bars)
    if (std::find(roof_.begin(), roof_.end(), bar.piece) != roof_.end())
      loads.on_members.push_back({bar.member, {0, 0, -q}});
  return loads;
}

frame::Loads SiteLoads::wind(Vec3 along, double plant, double coverage) const {
  frame::Loads loads;
  const auto on_bar = [&](const Piece& p) {  // N/mm
    const double c = p.role == Role::post ? 2.1 : wind_en::kSharpEdged;
    return c * pressure_ *
           (p.width.value() * std::abs(dot(along, p.frame.z)) + p.thickness.value() * std::abs(dot(along, p.frame.y)));
  };
  // wind along y: dot with the face's normal; width shows where the side (normal z) faces the wind.
  for (const Bar& bar : m_.bars) {
    const double q = on_bar(s_[bar.piece]);
    if (q > 0) loads.on_members.push_back({bar.member, {q * along.x, q * along.y, q * along.z}});
  }
  for (std::size_t p = 0; p < s_.panels.size(); ++p) {
    const Panel& panel = s_.panels[p];
    const double facing = std::abs(dot(along, panel.frame.z));
    const double edge = std::abs(dot(along, panel.frame.x)) * panel.thickness.value() * panel.height.value();
    const double solidity = climbers::combined_solidity(panel.solidity, plant, coverage);
    const Box box = world_box(s_, body(PanelId{static_cast<int>(p)}));
    const double force =
        pressure_ * (facing * panel.width.value() * panel.height.value() * panel_coefficient(site_, solidity) +
                     edge * wind_en::kSharpEdged);
    spread(loads, m_.carried_panel[p], box.min.z, box.max.z, force * along);
  }
  if (plant > 0 && !roof_.empty()) {  // foliage over the roof, its edge to the wind, less what the bars there take
    const double width = std::abs(along.x) * roof_box_.size().y + std::abs(along.y) * roof_box_.size().x;
    const double force = pressure_ * panel_coefficient(site_, plant * coverage) * width * kFoliageDepth;
    for (const Bar& bar : m_.bars)
      if (std::find(roof_.begin(), roof_.end(), bar.piece) != roof_.end())
        loads.on_members.push_back({bar.member, {force / roof_length_ * along.x, force / roof_length_ * along.y, 0}});
  }
  return loads;
}

frame::Loads SiteLoads::lift(bool grown) const {
  frame::Loads loads;
  if (roof_.empty()) return loads;
  const wind_en::Canopy canopy = wind_en::monopitch(0);
  const double c = site_.route == Site::Route::us ? -1.1 : canopy.up(grown ? 1 : 0);
  const double solidity = std::clamp(
      grown ? climbers::combined_solidity(roof_solid_ / roof_area_, growth_.summer, 1) : roof_solid_ / roof_area_, 0.0,
      1.0);
  const double q = -c * pressure_ * solidity * roof_area_ / roof_length_;
  for (const Bar& bar : m_.bars)
    if (std::find(roof_.begin(), roof_.end(), bar.piece) != roof_.end())
      loads.on_members.push_back({bar.member, {0, 0, q}});
  return loads;
}

std::vector<SiteLoads::Person> SiteLoads::persons() const {
  std::vector<Person> all;
  std::set<std::string> seen;
  const double n = combinations::kPersonKn * 1000, high = combinations::kPersonHeightM * 1000;
  for (const Base& base : m_.bases) {
    if (base.footing < 0) continue;
    const Piece& post = s_[base.post];
    if (!seen.insert(post.mark + post.name).second) continue;
    const double rise = post.frame.x.z;
    const double along =
        (s_.footings[static_cast<std::size_t>(base.footing)].centre.z + high - middle_at(post, 0).z) / rise;
    const frame::NodeIndex node = m_.node_at(base.post, along);
    for (const Vec3 way : {Vec3{1, 0, 0}, Vec3{-1, 0, 0}, Vec3{0, 1, 0}, Vec3{0, -1, 0}})
      all.push_back({{State::Kind::person, 0, State::Person::leans, body(base.post)},
                     {{{node, {n * way.x, n * way.y, 0}, {}}}, {}}});
  }
  for (std::size_t i = 0; i < roof_.size(); ++i) {
    const Piece& piece = s_[roof_[i]];
    if (i != roof_.size() / 2 && !seen.insert(piece.mark + piece.name).second) continue;
    seen.insert(piece.mark + piece.name);
    for (const double part : {0.5, 0.0}) {
      const frame::NodeIndex node = m_.node_at(roof_[i], part * piece.length.value());
      const auto where = part > 0 ? State::Person::hangs_from_middle : State::Person::hangs_from_end;
      all.push_back({{State::Kind::person, 0, where, body(roof_[i])}, {{{node, {0, 0, -n}, {}}}, {}}});
    }
  }
  return all;
}

}  // namespace garthwright::strength
