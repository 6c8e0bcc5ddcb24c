// SPDX-License-Identifier: Apache-2.0
#include "strength/site_loads.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <set>

#include "base/us_customary.h"
#include "strength/climbers.h"
#include "strength/combinations.h"
#include "strength/foliage.h"
#include "strength/interpolate.h"
#include "strength/snow.h"
#include "strength/wind_asce.h"
#include "strength/wind_en.h"

namespace garthwright::strength {
namespace {

constexpr double kGravity = 9.81, kMm3PerM3 = 1e9, kPaPerMpa = 1e6;
constexpr double kFoliageDepth = 300;  // mm of foliage over a grown roof, a proposal of our own
constexpr double kFtPerM = 1 / 0.3048;
constexpr double kFlat = 0.7;     // a timber rises less than this part of its length
constexpr double kInRoof = 0.75;  // part of the structure's height above which what lies flat is roof
constexpr double kUpUs = -1.1;    // ASCE 7-16 Figure 27.3-4, case B windward; never less for a narrow roof (our own)

wind_en::Terrain terrain(const std::string& name) {
  using enum wind_en::Terrain;
  return name == "0" ? sea : name == "I" ? open : name == "II" ? farmland : name == "IV" ? town : suburb;
}

/// Coefficient on the gross area of a panel so solid.
double panel_coefficient(const Site& site, double solidity) {
  if (site.route == Site::Route::us) return wind_asce::panel_gross(solidity, wind_asce::wall(0.5, 1));
  return wind_en::panel_gross(solidity, wind_en::kSignboard, wind_en::kSignboard);
}

/// The same with what has grown on it.
double grown_panel(const Site& site, double laths, Cover cover, double gust) {
  const double bare = panel_coefficient(site, laths);
  if (cover.closed) return std::max(bare, panel_coefficient(site, 1));
  const double whole = climbers::combined_solidity(laths, cover.plant, 1);
  return foliage::on_panel(bare, laths, whole, panel_coefficient(site, whole), gust);
}

/// Pascal, without the gust factor of ASCE 7. 29.7 there: no less than 16 psf on the projected area; a bar's
/// coefficient is about 2.
double gust_pressure(const Site& site, double top_mm) {
  if (site.route == Site::Route::en) return wind_en::peak_pressure(site.wind_m_s, terrain(site.terrain), top_mm / 1000);
  using enum wind_asce::ExposureCategory;
  const auto category = site.exposure_letter == "C" ? c : site.exposure_letter == "D" ? d : b;
  const double kz = wind_asce::kz(wind_asce::Edition::asce_7_16, category, top_mm / kMmPerFoot);
  const double psf = wind_asce::pressure_psf(site.wind_m_s / kMetrePerSecondPerMph, kz, 1, wind_asce::kKd, 1);
  return std::max(psf, site.least_pressure ? wind_asce::kLeastPsf / 2 / wind_asce::kGust : 0) * kPaPerPsf;
}

}  // namespace

Growth growth_of(const Site& site) {
  Growth g;
  const auto c = climbers::climber(site.climber);
  if (!c) return g;
  g = {c->solidity_summer, c->solidity_winter, c->wet_mass_kg_m2, c->years_to_mature, c->solidity_winter > 0.9, true};
  return g;
}

Cover bare() { return {}; }
Cover in_leaf(const Site& site, double coverage) {
  const Growth g = growth_of(site);
  return {g.summer * coverage, g.any && site.closed_foliage && coverage >= 1};
}
Cover in_winter(const Site& site) {
  const Growth g = growth_of(site);
  return {g.winter, g.any && site.closed_foliage && g.evergreen};
}

double wind_pressure(const Site& site, double top_mm) {
  const double factor = site.route == Site::Route::us ? wind_asce::kGust : 1;
  return gust_pressure(site, top_mm) * factor / kPaPerMpa;
}

double gust_speed(const Site& site, double top_mm) {
  return std::sqrt(2 * gust_pressure(site, top_mm) / wind_en::kAirDensity);
}

SiteLoads::SiteLoads(const Structure& s, const Model& m, const Site& site)
    : s_(s), m_(m), site_(site), growth_(growth_of(site)), founded_(s.pieces.size()) {
  for (const Footing& f : s.footings) founded_[static_cast<std::size_t>(f.post.index)] = true;
  for (std::size_t p = 0; p < s.pieces.size(); ++p) {
    const Piece& piece = s.pieces[p];
    if (!piece.duties.has(Duty::roof) || !m.carries[p] || std::abs(piece.frame.x.z) >= kFlat) continue;
    roof_.push_back(PieceId{static_cast<int>(p)});
  }
  for (std::size_t p = 0; p < s.pieces.size(); ++p)
    top_ = std::max(top_, world_box(s, body(PieceId{static_cast<int>(p)})).max.z);
  for (std::size_t p = 0; !s.feet.empty() && p < s.pieces.size(); ++p) {
    const Box box = world_box(s, body(PieceId{static_cast<int>(p)}));
    if (s.pieces[p].duties.has(Duty::soil)) filled_ = filled_ ? enclosing(*filled_, box) : box;
  }
  for (const Joint& j : s.joints)
    if (j.a == kWall || j.b == kWall) walls_.push_back(&j);
  double ground = s.footings.empty() ? 0 : 1e9;
  for (const Footing& f : s.footings) ground = std::min(ground, f.centre.z);
  for (ScreenRun& run : screen_runs(s))
    if (run.is_wall(ground)) screen_walls_.push_back(std::move(run));
  pressure_ = wind_pressure(site, top_);
  gust_ = gust_speed(site, top_);
  std::set<int> roofed;  // parts that share posts have a roof each
  for (const PieceId p : roof_) roofed.insert(s[p].part);
  for (const int part : roofed) roofs_.push_back(roof_of(roofed.size() > 1 ? std::optional(part) : std::nullopt));
}

/// EN 1991-1-4 Table 7.1, zones D and E by height over depth; ASCE 7-16 Figure 27.3-1 has the same for low ones.
std::optional<double> SiteLoads::on_filled(PieceId piece, Vec3 along) const {
  constexpr double kWindward = 0.8, kHair = 1;
  constexpr std::array<double, 2> kTallness = {1, 5}, kLee = {0.5, 0.7};
  const Vec3 at = world_box(s_, body(piece)).centre();
  if (s_[piece].duties.has(Duty::soil)) {
    const double depth = std::abs(dot(filled_->size(), along));
    return dot(at - filled_->centre(), along) < 0 ? kWindward : interpolate(kTallness, kLee, filled_->size().z / depth);
  }
  const bool within = at.x > filled_->min.x + kHair && at.x < filled_->max.x - kHair && at.y > filled_->min.y + kHair &&
                      at.y < filled_->max.y - kHair && at.z > filled_->min.z + kHair;
  return within ? std::optional(0.0) : std::nullopt;
}

/// The roof of one part, or of the whole.
SiteLoads::Roof SiteLoads::roof_of(std::optional<int> part) const {
  const auto is_of = [&](const Piece& piece) { return !part || piece.part == *part; };
  Roof roof;
  for (const PieceId p : roof_)
    if (is_of(s_[p])) roof.layer.push_back(p);
  double layer = 0, top = 0;
  for (const PieceId p : roof.layer) {
    const Box box = world_box(s_, body(p));
    roof.box = p == roof.layer.front() ? box : enclosing(roof.box, box);
    layer += box.size().x * box.size().y;
    roof.length += s_[p].length.value();
    roof.grows = roof.grows || s_[p].duties.has(Duty::climber);
  }
  roof.area = roof.box.size().x * roof.box.size().y;
  const double length = roof.length / static_cast<double>(roof.layer.size());
  const double across = roof.area / std::max(1.0, length);
  const auto rows = static_cast<double>(roof.layer.size());
  roof.gap = rows > 1 ? (across - layer / length) / (rows - 1) : 1e9;
  for (std::size_t p = 0; p < s_.pieces.size(); ++p)
    if (is_of(s_.pieces[p])) top = std::max(top, world_box(s_, body(PieceId{static_cast<int>(p)})).max.z);
  std::vector<Silhouette> plans;
  for (std::size_t p = 0; p < s_.pieces.size(); ++p) {
    const PieceId id{static_cast<int>(p)};
    const Piece& piece = s_.pieces[p];
    const Box box = world_box(s_, body(id));
    if (!is_of(piece) || std::abs(piece.frame.x.z) >= kFlat || box.centre().z < kInRoof * top) continue;
    roof.flat.push_back(id);
    plans.push_back(plan_of(box));
    roof.flat_plan.push_back(box.size().x * box.size().y);
  }
  roof.solid = covered(plans, plan_of(roof.box)) / std::max(1.0, roof.area);
  return roof;
}

bool SiteLoads::Roof::has(PieceId piece) const { return std::binary_search(layer.begin(), layer.end(), piece); }

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
  for (const frame::NodeLoad& l : leaf_couples(s_, m_).on_nodes) loads.on_nodes.push_back(l);
  return loads;
}

frame::Loads SiteLoads::plant(double coverage) const {
  frame::Loads loads;
  const double q = growth_.kg_m2 * kGravity * coverage / 1e6;  // N/mm²
  for (std::size_t p = 0; p < s_.panels.size(); ++p) {
    if (!s_.panels[p].duties.has(Duty::climber)) continue;
    const Box box = world_box(s_, body(PanelId{static_cast<int>(p)}));
    spread(loads, m_.carried_panel[p], box.min.z, box.max.z,
           {0, 0, -q * s_.panels[p].width.value() * s_.panels[p].height.value()});
  }
  for (const Roof& roof : roofs_)
    for (const Bar& bar : m_.bars)
      if (roof.grows && roof.has(bar.piece))
        loads.on_members.push_back({bar.member, {0, 0, -q * roof.area / roof.length}});
  return loads;
}

double SiteLoads::snow_share(const Roof& roof) const {
  const double with_twigs = climbers::combined_solidity(roof.solid, roof.grows ? growth_.winter : 0, 1);
  return snow::slat_share(with_twigs, roof.gap, roof.grows && growth_.evergreen);
}

frame::Loads SiteLoads::snow() const {
  frame::Loads loads;
  const double importance = snow::importance(site_.low_consequence ? snow::RiskCategory::one : snow::RiskCategory::two);
  const double kpa = site_.route == Site::Route::en
                         ? snow::on_roof(snow::mu1(0), site_.sheltered_snow ? 1.2 : 1.0, 1, site_.snow_kpa)
                         : snow::flat_roof(1.0, snow::kOpenAir, importance, site_.snow_kpa);
  for (const Roof& roof : roofs_) {
    const double q = kpa * 1e-3 * snow_share(roof) * roof.area / roof.length;
    for (const Bar& bar : m_.bars)
      if (roof.has(bar.piece)) loads.on_members.push_back({bar.member, {0, 0, -q}});
  }
  return loads;
}

frame::Loads SiteLoads::snow_off_the_house() const {
  frame::Loads loads = snow();
  if (!under_a_house()) return loads;
  const auto from_wall = [&](Vec3 at) {
    double nearest = 1e18;
    for (const Joint* j : walls_) {
      const Vec3 away = j->a == kWall ? j->normal : -j->normal;
      nearest = std::min(nearest, std::abs(dot(at - j->point, away)));
    }
    return nearest;
  };
  loads = {};
  for (const Roof& roof : roofs_) snow_off_the_house(loads, roof, from_wall);
  return loads;
}

void SiteLoads::snow_off_the_house(frame::Loads& loads, const Roof& roof,
                                   const std::function<double(Vec3)>& from_wall) const {
  double deep = 0;
  for (const PieceId p : roof.layer)
    for (const double end : {0.0, s_[p].length.value()}) deep = std::max(deep, from_wall(middle_at(s_[p], end)));
  const double below = std::max(0.0, site_.house_eaves_mm - roof.box.max.z);
  const double wide = 2 * site_.house_run_mm;
  const double importance = snow::importance(site_.low_consequence ? snow::RiskCategory::one : snow::RiskCategory::two);
  const auto kpa_at = [&](double mm) {
    if (site_.route == Site::Route::en) {
      const auto a = snow::against_house(site_.house_pitch_deg, site_.house_run_mm / 1000, wide / 1000, below / 1000,
                                         deep / 1000, site_.snow_kpa);
      return snow::on_roof(a.mu(mm / 1000), site_.sheltered_snow ? 1.2 : 1.0, 1, site_.snow_kpa);
    }
    const double psf = site_.snow_kpa / kPaPerPsf * 1000, pg = psf * importance;
    const double own = snow::flat_roof(1.0, snow::kOpenAir, importance, psf);
    const double over = mm / 1000 * kFtPerM;
    const double slid =
        site_.house_pitch_deg > 0 && over < snow::kSlidesOver
            ? snow::slides(snow::flat_roof(1.0, 1.0, importance, psf), site_.house_run_mm / 1000 * kFtPerM)
            : 0;
    const double drifted = snow::drift(pg, wide / 1000 * kFtPerM, below / 1000 * kFtPerM).at(over);
    return (own + std::max(slid, drifted)) * kPaPerPsf / 1000;
  };
  const double strip = snow_share(roof) * roof.area / roof.length;
  for (const Bar& bar : m_.bars)
    if (roof.has(bar.piece)) {
      const double mm = from_wall(middle_at(s_[bar.piece], (bar.from_mm + bar.to_mm) / 2));
      loads.on_members.push_back({bar.member, {0, 0, -kpa_at(mm) * 1e-3 * strip}});
    }
}

/// What stands over a panel, and over the roof: nothing, where no plant is to grow.
Cover SiteLoads::over(const Panel& panel, Cover cover) { return panel.duties.has(Duty::climber) ? cover : bare(); }
Cover SiteLoads::over(const Roof& roof, Cover cover) { return roof.grows ? cover : bare(); }

double SiteLoads::panel_solidity(const Panel& panel, Cover whole) const {
  const Cover cover = over(panel, whole);
  if (cover.closed) return 1;
  return foliage::solidity_in_wind(panel.solidity, climbers::combined_solidity(panel.solidity, cover.plant, 1), gust_);
}

double SiteLoads::solidity(const Roof& roof, Cover whole) const {
  const Cover cover = over(roof, whole);
  if (cover.closed) return 1;
  return std::min(
      1.0, foliage::solidity_in_wind(roof.solid, climbers::combined_solidity(roof.solid, cover.plant, 1), gust_));
}

const ScreenRun* SiteLoads::wall_with(Body screen) const {
  for (const ScreenRun& run : screen_walls_)
    if (std::find(run.of.begin(), run.of.end(), screen) != run.of.end()) return &run;
  return nullptr;
}

/// A post by itself, EN 1991-1-4 7.6 (7.9): sharp corners, and the wind that goes round its ends. Other timbers are
/// bars with sharp edges (7.7(1)) whose ends meet others: none goes round. In the United States, where the standard has
/// no bars but in lattices, a post's ends count for nothing either.
double SiteLoads::post_coefficient(PieceId post, double wide_mm, double deep_mm) const {
  if (wide_mm <= 0) return 0;
  const double c = wind_en::rectangle_coefficient(deep_mm / wide_mm);
  if (site_.route == Site::Route::us) return c;
  double ground = 1e9;
  for (const Footing& f : s_.footings)
    if (f.post == post) ground = f.centre.z;
  const double above = std::max(wide_mm, world_box(s_, body(post)).max.z - ground);
  return c * wind_en::end_effect(wind_en::bar_slenderness(above, wide_mm));
}

frame::Loads SiteLoads::wind(Vec3 along, Cover cover) const {
  frame::Loads loads;
  std::vector<double> seen;
  for (const Panel& panel : s_.panels) seen.push_back(over(panel, cover).closed ? 1 : panel.solidity);
  const std::vector<double> share = exposed(s_, along, seen);
  const auto on_bar = [&](PieceId id) {  // N/mm; the width shows where the side (normal z) faces the wind
    const Piece& p = s_[id];
    if (filled_)
      if (const std::optional<double> c = on_filled(id, along))
        return *c * pressure_ * (p.width.value() * std::abs(dot(along, p.frame.z)));
    if (const ScreenRun* wall = wall_with(body(id)); wall != nullptr && std::abs(dot(along, wall->facing)) > kFlat) {
      // Its part of the wall's gross area.
      const Box box = world_box(s_, body(id));
      const double at = dot(box.centre(), wall->along), reach = 0.5 * std::abs(dot(box.size(), wall->along));
      return wall_coefficient(site_, *wall, at - reach, at + reach) * wall->gross * pressure_ *
             std::abs(dot(along, wall->facing)) * std::max(p.width.value(), p.thickness.value());
    }
    const double shows_width = std::abs(dot(along, p.frame.z)), shows_thickness = std::abs(dot(along, p.frame.y));
    const double wide = p.width.value() * shows_width + p.thickness.value() * shows_thickness;
    const double deep = p.width.value() * shows_thickness + p.thickness.value() * shows_width;
    const double c =
        founded_[static_cast<std::size_t>(id.index)] ? post_coefficient(id, wide, deep) : wind_en::kSharpEdged;
    return share[static_cast<std::size_t>(id.index)] * c * pressure_ * wide;
  };
  for (const Bar& bar : m_.bars) {
    const double q = on_bar(bar.piece);
    if (q > 0) loads.on_members.push_back({bar.member, {q * along.x, q * along.y, q * along.z}});
  }
  for (std::size_t p = 0; p < s_.pieces.size(); ++p) {
    const PieceId id{static_cast<int>(p)};
    if (m_.carries[p]) continue;
    const Box box = world_box(s_, body(id));
    spread(loads, m_.carried_piece[p], box.min.z, box.max.z, on_bar(id) * s_[id].length.value() * along);
  }
  for (std::size_t p = 0; p < s_.panels.size(); ++p) {
    const Panel& panel = s_.panels[p];
    const double facing = std::abs(dot(along, panel.frame.z));
    const double edge = std::abs(dot(along, panel.frame.x)) * panel.thickness.value() * panel.height.value();
    const Box box = world_box(s_, body(PanelId{static_cast<int>(p)}));
    double c = grown_panel(site_, panel.solidity, over(panel, cover), gust_);
    if (const ScreenRun* wall = wall_with(body(PanelId{static_cast<int>(p)})); wall != nullptr) {
      const double at = dot(box.centre(), wall->along), reach = 0.5 * panel.width.value();
      c = std::max(over(panel, cover).plant > 0 ? c : 0,
                   wall_coefficient(site_, *wall, at - reach, at + reach) * wall->gross * panel.solidity);
    }
    const double force =
        pressure_ * (facing * panel.width.value() * panel.height.value() * c + edge * wind_en::kSharpEdged);
    spread(loads, m_.carried_panel[p], box.min.z, box.max.z, force * along);
  }
  for (const Roof& roof : roofs_) {  // foliage over the roof, its edge to the wind, less the timbers within it
    if (cover.plant <= 0 || !roof.grows) continue;
    Silhouette band = silhouette(roof.box, along);
    band.high = band.low + kFoliageDepth;
    std::vector<Silhouette> within;
    for (const PieceId p : roof.flat) within.push_back(silhouette(world_box(s_, body(p)), along));
    const double gross = (band.right - band.left) * kFoliageDepth, open = gross - covered(within, band);
    const double force =
        pressure_ * open * (cover.closed ? panel_coefficient(site_, 1) : foliage::drag(gust_) * cover.plant);
    for (const Bar& bar : m_.bars)
      if (roof.has(bar.piece))
        loads.on_members.push_back({bar.member, {force / roof.length * along.x, force / roof.length * along.y, 0}});
  }
  return loads;
}

double SiteLoads::blockage(const Roof& roof, Vec3 along, Cover cover) const {
  Silhouette under = silhouette(roof.box, along);
  under.low = 0, under.high = roof.box.min.z;
  const double opening = (under.right - under.left) * under.high;
  if (opening <= 0) return 0;
  std::vector<Silhouette> shut;
  double solid = 0;
  for (std::size_t p = 0; p < s_.panels.size(); ++p) {
    if (std::abs(dot(along, s_.panels[p].frame.z)) < kFlat) continue;
    shut.push_back(silhouette(world_box(s_, body(PanelId{static_cast<int>(p)})), along));
    solid = std::max(solid, panel_solidity(s_.panels[p], cover));
  }
  return covered(shut, under) / opening * solid;
}

/// Each flat timber takes its part of what the roof catches, on the half of the roof that it is in.
void SiteLoads::on_roof(frame::Loads& loads, const Roof& roof, Vec3 along, Halves c, double solidity) const {
  double plan = 0;
  for (const double a : roof.flat_plan) plan += a;
  if (plan <= 0) return;
  const double per_area = pressure_ * solidity * roof.area / plan;  // N/mm² on the timbers' own plan
  const double middle = dot(roof.box.centre(), along);
  const auto up = [&](Vec3 at) { return -(dot(at, along) < middle ? c.windward : c.leeward); };
  for (std::size_t i = 0; i < roof.flat.size(); ++i) {
    const PieceId id = roof.flat[i];
    const Piece& piece = s_[id];
    const double width = roof.flat_plan[i] / std::max(1.0, piece.length.value());
    if (!m_.carries[static_cast<std::size_t>(id.index)]) {
      const double force = per_area * roof.flat_plan[i] * up(middle_at(piece, piece.length.value() / 2));
      spread(loads, m_.carried_piece[static_cast<std::size_t>(id.index)], -1e9, 1e9, {0, 0, force});
      continue;
    }
    for (const Bar& bar : m_.bars) {
      if (bar.piece != id) continue;
      // A bar that runs along the wind over the roof's middle has a part in either half.
      const double from = dot(middle_at(piece, bar.from_mm), along), to = dot(middle_at(piece, bar.to_mm), along);
      const double low = std::min(from, to), high = std::max(from, to);
      const double before =
          high - low > 1 ? std::clamp((middle - low) / (high - low), 0.0, 1.0) : (low < middle ? 1.0 : 0.0);
      const double q = -per_area * width * (before * c.windward + (1 - before) * c.leeward);
      if (q != 0) loads.on_members.push_back({bar.member, {0, 0, q}});
    }
  }
}

frame::Loads SiteLoads::lift(Vec3 along, Cover cover) const {
  frame::Loads loads;
  for (const Roof& roof : roofs_) {
    const double shut = over(roof, cover).closed ? 1 : blockage(roof, along, cover);
    Halves c;
    if (site_.route == Site::Route::us) {
      const wind_asce::FreeRoof free = wind_asce::flat_free_roof(shut > wind_asce::kObstructed);
      c = {std::min(kUpUs, free.windward_b), std::min(free.leeward_a, free.leeward_b)};
      c.leeward = std::min(c.leeward, 0.0);
    } else {
      c.windward = 2 * wind_en::monopitch(0).up(shut);  // all on the half that lies to the wind: its middle is at d/4
    }
    on_roof(loads, roof, along, c, solidity(roof, cover));
  }
  return loads;
}

frame::Loads SiteLoads::press(Vec3 along, Cover cover) const {
  frame::Loads loads;
  Halves c;
  if (site_.route == Site::Route::us) {
    const wind_asce::FreeRoof free = wind_asce::flat_free_roof(false);
    c = {free.windward_a, free.leeward_a};
  } else {
    c.windward = 2 * wind_en::monopitch(0).down;
  }
  for (const Roof& roof : roofs_) on_roof(loads, roof, along, c, solidity(roof, cover));
  return loads;
}

/// Each timber of the layer gathers its strip; edges are as wide as a tenth of the roof that way.
void SiteLoads::by_zones(frame::Loads& loads, const Roof& roof, double middle, double edge, double solidity) const {
  const Vec3 size = roof.box.size();
  double wide_x = 0.1 * size.x, wide_y = 0.1 * size.y;
  if (site_.route == Site::Route::us)
    wide_x = wide_y = wind_asce::edge_width_ft(std::min(size.x, size.y) / kMmPerFoot) * kMmPerFoot;
  const auto at_edge = [&](Vec3 p) {
    return p.x < roof.box.min.x + wide_x || p.x > roof.box.max.x - wide_x || p.y < roof.box.min.y + wide_y ||
           p.y > roof.box.max.y - wide_y;
  };
  constexpr int kPlaces = 20;  // looked at along a bar
  const double strip = pressure_ * solidity * roof.area / roof.length;
  for (const Bar& bar : m_.bars) {
    if (!roof.has(bar.piece)) continue;
    int edges = 0;
    for (int i = 0; i < kPlaces; ++i)
      edges += at_edge(middle_at(s_[bar.piece], bar.from_mm + (i + 0.5) / kPlaces * (bar.to_mm - bar.from_mm))) ? 1 : 0;
    const double share = static_cast<double>(edges) / kPlaces;
    loads.on_members.push_back({bar.member, {0, 0, -strip * (share * edge + (1 - share) * middle)}});
  }
}

frame::Loads SiteLoads::lift_by_zones(Cover cover) const {
  frame::Loads loads;
  for (const Roof& roof : roofs_) {
    if (site_.route == Site::Route::us) {
      const auto& z = wind_asce::kFreeRoofZones;
      by_zones(loads, roof, z.up_middle, z.up_edge, solidity(roof, cover));
      continue;
    }
    double shut = over(roof, cover).closed ? 1 : 0;
    for (const Vec3 way : {Vec3{1, 0, 0}, Vec3{0, 1, 0}}) shut = std::max(shut, blockage(roof, way, cover));
    const wind_en::CanopyZones z = wind_en::flat_canopy_zones();
    const auto up = [&](std::size_t zone) { return z.up_open[zone] + (z.up_blocked[zone] - z.up_open[zone]) * shut; };
    // A flat roof has no eaves and gables apart.
    by_zones(loads, roof, up(0), std::min(up(1), up(2)), solidity(roof, cover));
  }
  return loads;
}

frame::Loads SiteLoads::press_by_zones(Cover cover) const {
  frame::Loads loads;
  const wind_en::CanopyZones en = wind_en::flat_canopy_zones();
  const auto& us = wind_asce::kFreeRoofZones;
  for (const Roof& roof : roofs_) {
    if (site_.route == Site::Route::us)
      by_zones(loads, roof, us.down_middle, us.down_edge, solidity(roof, cover));
    else
      by_zones(loads, roof, en.down[0], std::max(en.down[1], en.down[2]), solidity(roof, cover));
  }
  return loads;
}

std::vector<Use> SiteLoads::persons() const {
  std::vector<Use> all = uses(s_, m_, site_);
  std::set<std::string> seen;
  const double n = combinations::kPersonKn * 1000, high = combinations::kPersonHeightM * 1000;
  for (const Base& base : m_.bases) {
    if (base.footing < 0) continue;
    const Piece& post = s_[base.post];
    // The low posts of beds and benches say what uses them: nobody leans a kilonewton on what ends at the knee.
    if (post.duties.has(Duty::soil) || post.duties.has(Duty::seat)) continue;
    if (!seen.insert(post.mark + post.name).second) continue;
    const double rise = post.frame.x.z;
    const double along =
        (s_.footings[static_cast<std::size_t>(base.footing)].centre.z + high - middle_at(post, 0).z) / rise;
    const frame::NodeIndex node = m_.node_at(base.post, along);
    for (const Vec3 way : {Vec3{1, 0, 0}, Vec3{-1, 0, 0}, Vec3{0, 1, 0}, Vec3{0, -1, 0}})
      all.push_back({{State::Kind::person, 0, State::Person::leans, body(base.post)},
                     {{{node, {n * way.x, n * way.y, 0}, {}}}, {}}});
  }
  // From the roof and from what carries it: the middle, and both ends, of one timber of each mark; of the roof's layer
  // the middle one too.
  const auto hangs = [&](PieceId id, double part) {
    const Piece& piece = s_[id];
    const frame::NodeIndex node = m_.node_at(id, part * piece.length.value());
    const auto where = part == 0.5 ? State::Person::hangs_from_middle : State::Person::hangs_from_end;
    all.push_back({{State::Kind::person, 0, where, body(id)}, {{{node, {0, 0, -n}, {}}}, {}}});
  };
  for (const Roof& roof : roofs_)
    for (std::size_t i = 0; i < roof.layer.size(); ++i) {
      const Piece& piece = s_[roof.layer[i]];
      if (!seen.insert(piece.mark + piece.name).second && i != roof.layer.size() / 2) continue;
      for (const double part : {0.5, 0.0, 1.0}) hangs(roof.layer[i], part);
    }
  for (const Roof& roof : roofs_)
    for (const PieceId id : roof.flat) {
      const Piece& piece = s_[id];
      const bool hung_from = piece.duties.has(Duty::roof) || piece.duties.has(Duty::beam);
      if (!hung_from || !m_.carries[static_cast<std::size_t>(id.index)]) continue;
      if (!seen.insert(piece.mark + piece.name).second) continue;
      for (const double part : {0.0, 1.0}) hangs(id, part);
    }
  return all;
}

}  // namespace garthwright::strength
