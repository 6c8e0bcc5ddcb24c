// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "base/diagnostic.h"
#include "base/money.h"

namespace garthwright::timber {

/// How a section's faces were finished: as the saw left them, two edges machined to size, or planed all round.
enum class Finish { sawn, regularised, planed };

/// Who sells a thing, where several yards are looked at as one (timber/market.h), and the price there before tax.
struct Offer {
  int yard = 0;
  Money listed;

  bool operator==(const Offer&) const = default;
};

/// So many of a fixing in one pack, or of a length in one bundle, at one price.
struct Pack {
  int count = 1;
  Money price;
  Offer offer{};

  bool operator==(const Pack&) const = default;
};

/// A timber as the yard sells it: one length and its price, one at a time, in bundles, or both. `limit` where the yard
/// has only so many lengths, however they are sold.
struct YardLength {
  double length_mm = 0;
  Money price;  ///< of one; 0 where there is none
  std::optional<int> limit;
  bool straight = false;  ///< picked for straightness by the yard, and priced so
  Offer offer{};
  std::vector<Pack> bundles{};  ///< smallest first
  bool singly = true;           ///< sold one at a time; else in bundles alone

  bool operator==(const YardLength&) const = default;
};

/// A cross-section the yard sells, called what the yard calls it. Width is the wide side, thickness the narrow one.
struct Section {
  std::string name;  ///< trade name: "4x2", "2x4"
  double width_mm = 0;
  double thickness_mm = 0;
  Finish finish = Finish::sawn;
  bool measured = false;  ///< the sizes were measured at the yard (they beat the nominal ones)

  std::string species;                 ///< trade or botanical name: "spruce-pine", "southern pine"
  std::string strength_class;          ///< "C16", "C24", "SPF No.2"
  std::string treatment;               ///< "UC3", "UC4", "UC4A", "UC4B"
  double density_dry_kg_m3 = 0;        ///< mean, at 12 % moisture
  double density_as_bought_kg_m3 = 0;  ///< treated, as it comes from the yard
  double moisture_as_bought = 0;       ///< mass of water over dry mass: 0.28 is 28 %

  std::vector<YardLength> lengths;  ///< shortest first

  bool operator==(const Section&) const = default;
};

/// A coach bolt has a round head and no washer under it; a bolt has a washer under head and nut. The last four are bent
/// from sheet and come with their nails.
/// Hinges, latches and gate bolts are counted and bought as fixings are, and fix no joint of timbers.
enum class FixingKind {
  screw,
  coach_screw,
  coach_bolt,
  nail,
  staple,
  bolt,
  angle_bracket,
  strap,
  hanger,
  post_shoe,
  hinge,
  latch,
  gate_bolt
};
/// What catalogues and recipes call them, in the order of FixingKind.
const std::vector<std::string>& fixing_kind_names();
inline bool is_bolt(FixingKind k) { return k == FixingKind::coach_bolt || k == FixingKind::bolt; }
inline bool is_threaded(FixingKind k) { return k == FixingKind::screw || k == FixingKind::coach_screw; }
inline bool is_connector(FixingKind k) { return k >= FixingKind::angle_bracket && k <= FixingKind::post_shoe; }

/// What keeps rust from a fixing, least first. `coated`: a coating that its maker declares for outdoors and for timber
/// treated with copper.
enum class Corrosion { unknown, bare, zinc_12, zinc_25, hot_dip, coated, stainless_a2, stainless_a4 };
enum class Shank { smooth, ringed, square };  ///< of a nail
enum class HeadForm { countersunk, washer };  ///< of a screw

/// How a fixing is made, and the characteristic values that its maker declares (EN 14592, a technical assessment; N,
/// mm); 0 where nothing is said.
struct FixingMake {
  double thread_mm = 0;  ///< length of the thread, point included
  double root_mm = 0;    ///< diameter inside the thread
  double shank_mm = 0;   ///< diameter of the smooth part
  double washer_mm = 0;  ///< outside diameter of a bolt's washers
  double width_mm = 0;   ///< of a connector, along its fold
  Shank shank = Shank::smooth;
  HeadForm head_form = HeadForm::countersunk;
  bool structural = false;  ///< a screw made for carrying, not for joinery
  Corrosion corrosion = Corrosion::unknown;

  std::string declared_by;  ///< whose values these are: "invented for trying out", "ETA-…"
  double steel_n_mm2 = 0;   ///< tensile strength fu
  double yield_nmm = 0;     ///< yield moment My
  double withdrawal_n_mm2 = 0, head_n_mm2 = 0, tension_n = 0;  ///< fax, fhead, ftens
  double density_kg_m3 = 350;                                  ///< that fax and fhead were found at
  double end_grain_across = 0, end_grain_along = 0;            ///< part of the strength that is left in end grain
  double pull_n = 0, down_n = 0, side_n = 0;                   ///< of a connector, all its nails driven
  double moment_nmm = 0,
         turn_nmm = 0;  ///< what a post shoe holds upright, and N mm per radian that it turns by; 0: freely

  bool operator==(const FixingMake&) const = default;
};

/// A fixing the yard sells. Diameters are nominal; `pilot_mm` is the hole in the piece that holds the thread,
/// `clearance_mm` the one in the piece under the head (for a bolt: the through hole).
struct FixingItem {
  std::string name;  ///< "screw 5x80", "coach bolt M10x150"
  FixingKind kind = FixingKind::screw;
  double diameter_mm = 0;
  double length_mm = 0;
  double head_mm = 0;
  double pilot_mm = 0;
  double clearance_mm = 0;
  std::string driver;   ///< "TX25", "17 mm spanner"
  std::string coating;  ///< "hot-dip galvanised", "A2 stainless"
  std::vector<Pack> packs;
  FixingMake make{};

  bool operator==(const FixingItem&) const = default;
};

/// A ready-made panel. Sizes are the maker's until a person measures the one delivered.
struct PanelItem {
  std::string name;  ///< "trellis 1830x610"
  double width_mm = 0;
  double height_mm = 0;
  double thickness_mm = 0;
  double mass_kg = 0;
  double solidity = 1;  ///< solid over gross area: 1 is closed
  double lath_mm = 0;   ///< of an open one: how wide its laths are; 0 where the maker does not say
  double mesh_mm = 0;   ///< from one lath to the next, middle to middle; 0 likewise
  Money price;
  bool measured = false;
  Offer offer{};

  bool operator==(const PanelItem&) const = default;
};

/// What fills holes: a bag, with what it yields when mixed (postmix, concrete) or compacted (gravel).
struct GroundItem {
  std::string name;
  std::string kind;  ///< "postmix", "concrete" or "gravel"
  double bag_kg = 0;
  double yield_l = 0;
  Money price;
  Offer offer{};

  bool operator==(const GroundItem&) const = default;
};

/// Brushed on every cut, notch and hole: so many litres in a tin, and the end grain one litre covers.
struct PreservativeItem {
  std::string name;
  double tin_l = 0;
  double covers_m2_per_l = 0;
  Money price;
  Offer offer{};

  bool operator==(const PreservativeItem&) const = default;
};

/// What a yard adds to its prices. Delivery is before tax, as prices are; the two thresholds are of goods with tax.
struct Terms {
  int tax =
      0;  ///< on every price and on delivery, in hundredths of a per cent: 2300 is 23 %; 0: prices are what is paid
  Money delivery;                           ///< for the whole order
  std::optional<Money> delivery_free_from;  ///< goods worth as much are brought free
  Money minimum_order;                      ///< goods worth less are not sold

  bool operator==(const Terms&) const = default;
};

/// Everything one timber yard sells, with the day its prices held.
struct Yard {
  std::string name;
  std::string title;
  std::string note;  ///< printed with every price ("invented prices, for trying out")
  Currency currency;
  std::string price_date;  ///< ISO 8601 day
  std::string units;       ///< "mm" or "ft-in": how its people speak
  Terms terms;
  std::vector<Section> sections;
  std::vector<FixingItem> fixings;
  std::vector<PanelItem> panels;
  std::vector<GroundItem> ground;
  std::vector<PreservativeItem> preservatives;
  /// What a pattern takes when the job does not say: role ("post", "screw_long", "panel") and item, sorted by role.
  std::vector<std::pair<std::string, std::string>> defaults;

  bool operator==(const Yard&) const = default;
};

/// Reads a catalogue (TOML, docs/catalogue.md). `file` names it in diagnostics. Any byte sequence gives a Yard or
/// errors.
Result<Yard> parse_yard(std::string_view toml, const std::string& file);

/// The item of that name. Fails with "unknown-section" (…-fixing, …-panel), naming the near ones.
Result<const Section*> find_section(const Yard& yard, std::string_view name);
Result<const FixingItem*> find_fixing(const Yard& yard, std::string_view name);
Result<const PanelItem*> find_panel(const Yard& yard, std::string_view name);
/// The item the yard proposes for a role; fails with "no-default", naming the roles it has.
Result<std::string> find_default(const Yard& yard, std::string_view role);

/// What a job measured: sets the actual size of a section (in either order) or a panel and marks it measured; fails on
/// an unknown name or a size that is not above zero.
Result<void> set_measured_section(Yard& yard, std::string_view name, double a_mm, double b_mm);
Result<void> set_measured_panel(Yard& yard, std::string_view name, double width_mm, double height_mm);
/// What a job was asked to pay: sets the price of one length of a section, bought singly.
Result<void> set_price(Yard& yard, std::string_view section, double length_mm, Money price);

}  // namespace garthwright::timber
