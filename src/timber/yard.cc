// SPDX-License-Identifier: Apache-2.0
#include "timber/yard.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "base/length.h"
#include "base/near.h"
#include "base/quoted.h"
#include "base/table_reader.h"

namespace garthwright::timber {
namespace {

// What a yard can carry; beyond it is a slip of the pen.
constexpr Range kSectionSize{1, 1000};     // mm
constexpr Range kSoldLength{100, 20'000};  // mm
constexpr Range kPanelSize{50, 5000};      // mm
constexpr Range kPanelThickness{1, 300};   // mm
constexpr Range kPanelMass{0, 500};        // kg
constexpr Range kLath{3, 300};             // mm
constexpr Range kMesh{10, 1000};           // mm
constexpr Range kShare{0, 1};              // solid over gross area
constexpr Range kDensity{50, 2000};        // kg/m³
constexpr Range kMoisture{0, 2.5};         // water over dry mass
constexpr Range kFixingDiameter{0.5, 50};  // mm
constexpr Range kFixingLength{5, 1000};    // mm
constexpr Range kHole{0, 100};             // mm
constexpr Range kSteel{100, 2000};         // N/mm²
constexpr Range kYieldMoment{0.1, 5000};   // Nm
constexpr Range kTimberStress{0.5, 50};    // N/mm²
constexpr Range kForce{0.01, 500};         // kN
constexpr Range kMoment{0.01, 500};        // kNm
constexpr Range kTurn{0.1, 1e5};           // kNm per radian
constexpr Range kPackCount{1, 100'000};    //
constexpr Range kBundleCount{2, 10'000};   //
constexpr Range kLimit{0, 100'000};        //
constexpr Range kBag{0.1, 2000};           // kg
constexpr Range kYield{0.01, 2000};        // l
constexpr Range kTin{0.01, 200};           // l
constexpr Range kTax{0, 100};              // per cent
constexpr Range kCoverage{0.1, 50};        // m² of end grain per l

const std::vector<std::string> kFinishes{"sawn", "regularised", "planed"};
const std::vector<std::string> kShanks{"smooth", "ringed", "square"};
const std::vector<std::string> kHeadForms{"countersunk", "washer"};
const std::vector<std::string> kCorrosion{"not said", "bare",   "Fe/Zn 12c", "Fe/Zn 25c",
                                          "hot-dip",  "coated", "A2",        "A4"};
const std::vector<std::string> kGroundKinds{"postmix", "concrete", "gravel"};
const std::vector<std::string> kUnitNames{"mm", "ft-in"};

/// What [timber] says for every section that does not say otherwise.
struct TimberDefaults {
  Finish finish = Finish::sawn;
  std::string species, strength_class, treatment;
  double density_dry = 0, density_as_bought = 0, moisture = 0;
};

void read_timber(TableReader& reader, TimberDefaults& into) {
  if (const auto finish = reader.one_of("finish", kFinishes)) into.finish = static_cast<Finish>(*finish);
  if (const auto species = reader.text("species")) into.species = *species;
  if (const auto grade = reader.text("strength_class")) into.strength_class = *grade;
  if (const auto treatment = reader.text("treatment")) into.treatment = *treatment;
  if (const auto dry = reader.number("density_dry", kDensity)) into.density_dry = *dry;
  if (const auto wet = reader.number("density_as_bought", kDensity)) into.density_as_bought = *wet;
  if (const auto moisture = reader.number("moisture_as_bought", kMoisture)) into.moisture = *moisture;
}

/// Reads the item's name, calls the reader by it and refuses one that was there before.
std::string read_name(TableReader& reader, std::string_view kind, std::set<std::string>& seen) {
  const auto name = reader.text("name", Need::required);
  if (!name) return {};
  reader.call(fmt::format("{} {}", kind, quoted(*name)));
  if (!seen.insert(*name).second)
    reader.problem("name", "duplicate", fmt::format("there are two of {} {}", kind, quoted(*name)),
                   "give each its own name");
  return *name;
}

/// Refuses a second item with the same measure (two prices for one length, two packs of one count).
template <class Measure>
void refuse_twins(TableReader& reader, std::string_view key, const std::set<Measure>& distinct, std::size_t count) {
  if (distinct.size() < count)
    reader.problem(key, "duplicate", fmt::format("{} of {} names the same one twice", key, reader.called()),
                   "give each one price");
}

/// What is sold by the pack (key "packs") or by the bundle, smallest first.
std::vector<Pack> read_packs(TableReader& item, std::string_view key, std::string_view called, Range counts, Need need,
                             const Currency& currency) {
  std::vector<Pack> packs;
  std::set<int> distinct;
  for (TableReader& reader : item.tables(key, need)) {
    reader.call(fmt::format("a {} of {}", called, item.called()));
    const auto count = reader.whole("count", counts, Need::required);
    const auto price = reader.money("price", currency, Need::required);
    reader.finish();
    if (!count || !price) continue;
    packs.push_back({*count, *price});
    distinct.insert(*count);
  }
  refuse_twins(item, key, distinct, packs.size());
  std::stable_sort(packs.begin(), packs.end(), [](const Pack& a, const Pack& b) { return a.count < b.count; });
  return packs;
}

std::vector<YardLength> read_lengths(TableReader& section, const Currency& currency) {
  std::vector<YardLength> lengths;
  std::set<std::pair<double, bool>> distinct;
  for (TableReader& reader : section.tables("lengths", Need::required)) {
    reader.call("a length of " + section.called());
    const auto length = reader.length("length", kSoldLength, Need::required);
    std::vector<Pack> bundles = read_packs(reader, "bundles", "bundle", kBundleCount, Need::optional, currency);
    const auto price = reader.money("price", currency, bundles.empty() ? Need::required : Need::optional);
    const auto limit = reader.whole("limit", kLimit);
    const bool straight = reader.yes_no("straight").value_or(false);
    reader.finish();
    if (!length || (!price && bundles.empty())) continue;
    lengths.push_back(
        {*length, price.value_or(Money{}), limit, straight, {}, std::move(bundles), /*singly=*/price.has_value()});
    distinct.emplace(*length, straight);
  }
  refuse_twins(section, "lengths", distinct, lengths.size());
  std::stable_sort(lengths.begin(), lengths.end(),
                   [](const YardLength& a, const YardLength& b) { return a.length_mm < b.length_mm; });
  return lengths;
}

/// Without densities a section would weigh nothing, and people would lift what the plan says weighs nothing.
void check_timber(TableReader& reader, const Section& section) {
  if (section.density_dry_kg_m3 == 0 || section.density_as_bought_kg_m3 == 0)
    reader.problem("density_dry", "missing-key", reader.called() + " has no density_dry or no density_as_bought",
                   "give both here or in [timber]");
}

Section read_section(TableReader& reader, const TimberDefaults& defaults, const Currency& currency,
                     std::set<std::string>& seen) {
  Section section;
  section.name = read_name(reader, "section", seen);
  if (const auto size = reader.size("size", kSectionSize, Need::required)) {
    section.width_mm = std::max(size->first, size->second);
    section.thickness_mm = std::min(size->first, size->second);
  }
  TimberDefaults timber = defaults;
  read_timber(reader, timber);
  section.finish = timber.finish;
  section.species = timber.species;
  section.strength_class = timber.strength_class;
  section.treatment = timber.treatment;
  section.density_dry_kg_m3 = timber.density_dry;
  section.density_as_bought_kg_m3 = timber.density_as_bought;
  section.moisture_as_bought = timber.moisture;
  section.lengths = read_lengths(reader, currency);
  check_timber(reader, section);
  reader.finish();
  return section;
}

/// Per cent with up to two decimals, as hundredths of one.
int read_tax(TableReader& reader) {
  const auto percent = reader.number("tax", kTax);
  if (!percent) return 0;
  const double hundredths = *percent * 100;
  if (std::abs(hundredths - std::round(hundredths)) > 1e-6)
    reader.problem("tax", "bad-tax", fmt::format("a tax of {:g} per cent is finer than a hundredth of one", *percent),
                   "give two decimals at most");
  return static_cast<int>(std::lround(hundredths));
}

Terms read_terms(TableReader reader, const Currency& currency) {
  reader.call("[terms]");
  Terms terms;
  terms.tax = read_tax(reader);
  terms.delivery = reader.money("delivery", currency).value_or(Money{});
  terms.delivery_free_from = reader.money("delivery_free_from", currency);
  terms.minimum_order = reader.money("minimum_order", currency).value_or(Money{});
  reader.finish();
  return terms;
}

/// Values are declared in the units in which makers print them: Nm, kN.
void read_declared(TableReader reader, FixingMake& make) {
  reader.call("the declared values of a fixing");
  if (reader.keys().empty()) return;
  make.declared_by = reader.text("by", Need::required).value_or("");
  make.steel_n_mm2 = reader.number("fu", kSteel).value_or(0);
  make.yield_nmm = 1000 * reader.number("my", kYieldMoment).value_or(0);
  make.withdrawal_n_mm2 = reader.number("fax", kTimberStress).value_or(0);
  make.head_n_mm2 = reader.number("fhead", kTimberStress).value_or(0);
  make.tension_n = 1000 * reader.number("ftens", kForce).value_or(0);
  make.density_kg_m3 = reader.number("density", kDensity).value_or(make.density_kg_m3);
  make.end_grain_across = reader.number("end_grain_across", kShare).value_or(0);
  make.end_grain_along = reader.number("end_grain_along", kShare).value_or(0);
  make.pull_n = 1000 * reader.number("pull", kForce).value_or(0);
  make.down_n = 1000 * reader.number("down", kForce).value_or(0);
  make.side_n = 1000 * reader.number("side", kForce).value_or(0);
  make.moment_nmm = 1e6 * reader.number("moment", kMoment).value_or(0);
  make.turn_nmm = 1e6 * reader.number("turn", kTurn).value_or(0);
  reader.finish();
}

FixingMake read_make(TableReader& reader) {
  FixingMake make;
  make.thread_mm = reader.length("thread", kFixingLength).value_or(0);
  make.root_mm = reader.length("root", kFixingDiameter).value_or(0);
  make.shank_mm = reader.length("shank", kFixingDiameter).value_or(0);
  make.washer_mm = reader.length("washer", kHole).value_or(0);
  make.width_mm = reader.length("width", kFixingLength).value_or(0);
  make.shank = static_cast<Shank>(reader.one_of("nail_shank", kShanks).value_or(0));
  make.head_form = static_cast<HeadForm>(reader.one_of("head_form", kHeadForms).value_or(0));
  make.structural = reader.yes_no("structural").value_or(false);
  make.corrosion = static_cast<Corrosion>(reader.one_of("corrosion", kCorrosion).value_or(0));
  read_declared(reader.table("declared"), make);
  return make;
}

/// A sheet part without a declared strength would carry nothing, and sizes inside one another must fit.
void check_make(TableReader& reader, const FixingItem& item) {
  const FixingMake& m = item.make;
  if (m.root_mm > item.diameter_mm || m.shank_mm > item.diameter_mm)
    reader.problem("root", "bad-root", reader.called() + " has a root or shank thicker than itself",
                   "give the diameter inside the thread");
  if (m.thread_mm > item.length_mm)
    reader.problem("thread", "bad-thread", reader.called() + " has a thread longer than itself",
                   "give the length of the thread");
  if (is_connector(item.kind) && m.pull_n + m.down_n + m.side_n <= 0)
    reader.problem("declared", "missing-key", reader.called() + " has no declared pull, down or side",
                   "give its maker's values, in kN");
  if ((m.moment_nmm > 0 || m.turn_nmm > 0) && (item.kind != FixingKind::post_shoe || m.moment_nmm * m.turn_nmm <= 0))
    reader.problem("declared", "bad-moment", reader.called() + " declares half of what holds a post upright",
                   "give a post shoe both moment (kNm) and turn (kNm per radian), or neither");
}

FixingItem read_fixing(TableReader& reader, const Currency& currency, std::set<std::string>& seen) {
  FixingItem item;
  item.name = read_name(reader, "fixing", seen);
  item.kind = static_cast<FixingKind>(reader.one_of("kind", fixing_kind_names(), Need::required).value_or(0));
  item.diameter_mm = reader.length("diameter", kFixingDiameter, Need::required).value_or(0);
  item.length_mm = reader.length("length", kFixingLength, Need::required).value_or(0);
  item.head_mm = reader.length("head", kHole).value_or(0);
  item.pilot_mm = reader.length("pilot", kHole).value_or(0);
  item.clearance_mm = reader.length("clearance", kHole).value_or(0);
  item.driver = reader.text("driver").value_or("");
  item.coating = reader.text("coating").value_or("");
  item.packs = read_packs(reader, "packs", "pack", kPackCount, Need::required, currency);
  item.make = read_make(reader);
  check_make(reader, item);
  reader.finish();
  return item;
}

PanelItem read_panel(TableReader& reader, const Currency& currency, std::set<std::string>& seen) {
  PanelItem item;
  item.name = read_name(reader, "panel", seen);
  item.width_mm = reader.length("width", kPanelSize, Need::required).value_or(0);
  item.height_mm = reader.length("height", kPanelSize, Need::required).value_or(0);
  item.thickness_mm = reader.length("thickness", kPanelThickness, Need::required).value_or(0);
  item.mass_kg = reader.number("mass", kPanelMass, Need::required).value_or(0);
  item.solidity = reader.number("solidity", kShare).value_or(1);
  item.lath_mm = reader.length("lath", kLath).value_or(0);
  item.mesh_mm = reader.length("mesh", kMesh).value_or(0);
  if (item.mesh_mm > 0 && item.lath_mm >= item.mesh_mm)
    reader.problem(
        "lath", "out-of-range",
        fmt::format("laths {:g} mm wide leave nothing open where they stand {:g} mm apart", item.lath_mm, item.mesh_mm),
        "mesh is from the middle of one lath to the middle of the next");
  item.price = reader.money("price", currency, Need::required).value_or(Money{});
  reader.finish();
  return item;
}

GroundItem read_ground(TableReader& reader, const Currency& currency, std::set<std::string>& seen) {
  GroundItem item;
  item.name = read_name(reader, "ground", seen);
  if (const auto kind = reader.one_of("kind", kGroundKinds, Need::required))
    item.kind = kGroundKinds[static_cast<std::size_t>(*kind)];
  item.bag_kg = reader.number("bag_kg", kBag, Need::required).value_or(0);
  item.yield_l = reader.number("yield_l", kYield, Need::required).value_or(0);
  item.price = reader.money("price", currency, Need::required).value_or(Money{});
  reader.finish();
  return item;
}

PreservativeItem read_preservative(TableReader& reader, const Currency& currency, std::set<std::string>& seen) {
  PreservativeItem item;
  item.name = read_name(reader, "preservative", seen);
  item.tin_l = reader.number("tin_l", kTin, Need::required).value_or(0);
  item.covers_m2_per_l = reader.number("covers_m2_per_l", kCoverage, Need::required).value_or(0);
  item.price = reader.money("price", currency, Need::required).value_or(Money{});
  reader.finish();
  return item;
}

template <class Item>
std::vector<std::string> names_of(const std::vector<Item>& items) {
  std::vector<std::string> names;
  for (const Item& item : items) names.push_back(item.name);
  return names;
}

std::vector<std::string> all_names(const Yard& yard) {
  std::vector<std::string> names = names_of(yard.sections);
  for (const auto& more : {names_of(yard.fixings), names_of(yard.panels), names_of(yard.ground)})
    names.insert(names.end(), more.begin(), more.end());
  return names;
}

/// "2x4" is asked for where the yard says "4x2": told apart by a metric and an American tongue, so it comes first.
std::string suggest_item(std::string_view wrong, const std::vector<std::string>& known) {
  const auto cross = wrong.find('x');
  if (cross != std::string_view::npos) {
    const std::string turned = std::string(wrong.substr(cross + 1)) + "x" + std::string(wrong.substr(0, cross));
    if (turned != wrong && std::find(known.begin(), known.end(), turned) != known.end())
      return fmt::format("did you mean {}?", turned);
  }
  return suggest(wrong, known);
}

std::vector<std::pair<std::string, std::string>> read_defaults(TableReader reader, const Yard& yard) {
  std::vector<std::pair<std::string, std::string>> defaults;
  const std::vector<std::string> known = all_names(yard);
  for (const std::string& role : reader.keys()) {
    const auto item = reader.text(role, Need::required);
    if (!item) continue;
    if (std::find(known.begin(), known.end(), *item) == known.end()) {
      reader.problem(role, "unknown-item",
                     fmt::format("default {} is {}, which the yard does not sell", quoted(role), quoted(*item)),
                     suggest_item(*item, known));
      continue;
    }
    defaults.emplace_back(role, *item);
  }
  std::sort(defaults.begin(), defaults.end());
  return defaults;
}

/// The items of one kind, each read by `read`.
template <class Item, class Read>
std::vector<Item> read_items(TableReader& catalogue, std::string_view key, Need need, const Read& read) {
  std::vector<Item> items;
  std::set<std::string> seen;
  for (TableReader& reader : catalogue.tables(key, need)) items.push_back(read(reader, seen));
  return items;
}

template <class Item>
Result<const Item*> find(const std::vector<Item>& items, std::string_view name, std::string_view kind,
                         const Yard& yard) {
  const auto found = std::find_if(items.begin(), items.end(), [&](const Item& item) { return item.name == name; });
  if (found != items.end()) return &*found;
  return fail(fmt::format("unknown-{}", kind), fmt::format("{} sells no {} {}", yard.title, kind, quoted(name)),
              suggest_item(name, names_of(items)));
}

LengthStyle style_of(const Yard& yard) { return {yard.units == "ft-in" ? Units::feet_inches : Units::mm, 16, true}; }

Result<void> check_size(const Yard& yard, std::string_view of, double a_mm, double b_mm, Range range) {
  const auto within = [&](double mm) { return mm >= range.least && mm <= range.most; };
  if (within(a_mm) && within(b_mm)) return {};
  const LengthStyle style = style_of(yard);
  return fail(
      "bad-size", fmt::format("{} measured {} x {}", of, format_length(a_mm, style), format_length(b_mm, style)),
      fmt::format("give {} to {} each way", format_length(range.least, style), format_length(range.most, style)));
}

}  // namespace

const std::vector<std::string>& fixing_kind_names() {
  static const std::vector<std::string> names{"screw", "coach screw",   "coach bolt", "nail",   "staple",
                                              "bolt",  "angle bracket", "strap",      "hanger", "post shoe",
                                              "hinge", "latch",         "gate bolt"};
  return names;
}

Result<Yard> parse_yard(std::string_view toml, const std::string& file) {
  const auto table = parse_toml(toml, file);
  if (!table) return tl::make_unexpected(table.error());
  Diagnostics problems;
  TableReader reader(*table, file, "the catalogue", problems);

  Yard yard;
  (void)reader.whole("format", {1, 1}, Need::required);
  yard.name = reader.text("name", Need::required).value_or("");
  yard.title = reader.text("title").value_or(yard.name);
  yard.note = reader.text("note").value_or("");
  yard.price_date = reader.day("price_date", Need::required).value_or("");
  yard.units = kUnitNames[static_cast<std::size_t>(reader.one_of("units", kUnitNames).value_or(0))];
  if (const auto code = reader.text("currency", Need::required)) {
    const auto money = currency(*code);
    if (money) yard.currency = *money;
    if (!money)
      reader.problem("currency", money.error().front().code, money.error().front().what, money.error().front().cure);
  }
  // Without a currency no price can be read; what else is wrong is still worth hearing.
  const Currency& currency = yard.currency;

  yard.terms = read_terms(reader.table("terms"), currency);

  TimberDefaults defaults;
  TableReader timber = reader.table("timber");
  read_timber(timber, defaults);
  timber.finish();

  yard.sections = read_items<Section>(reader, "section", Need::required, [&](TableReader& item, auto& seen) {
    return read_section(item, defaults, currency, seen);
  });
  yard.fixings = read_items<FixingItem>(reader, "fixing", Need::optional, [&](TableReader& item, auto& seen) {
    return read_fixing(item, currency, seen);
  });
  yard.panels = read_items<PanelItem>(reader, "panel", Need::optional,
                                      [&](TableReader& item, auto& seen) { return read_panel(item, currency, seen); });
  yard.ground = read_items<GroundItem>(reader, "ground", Need::optional, [&](TableReader& item, auto& seen) {
    return read_ground(item, currency, seen);
  });
  yard.preservatives = read_items<PreservativeItem>(
      reader, "preservative", Need::optional,
      [&](TableReader& item, auto& seen) { return read_preservative(item, currency, seen); });
  yard.defaults = read_defaults(reader.table("defaults"), yard);
  reader.finish();

  if (has_error(problems)) return tl::make_unexpected(std::move(problems));
  return yard;
}

Result<const Section*> find_section(const Yard& yard, std::string_view name) {
  return find(yard.sections, name, "section", yard);
}
Result<const FixingItem*> find_fixing(const Yard& yard, std::string_view name) {
  return find(yard.fixings, name, "fixing", yard);
}
Result<const PanelItem*> find_panel(const Yard& yard, std::string_view name) {
  return find(yard.panels, name, "panel", yard);
}

Result<std::string> find_default(const Yard& yard, std::string_view role) {
  std::vector<std::string> roles;
  for (const auto& [known, item] : yard.defaults) {
    if (known == role) return item;
    roles.push_back(known);
  }
  constexpr std::string_view kStout = "_large";
  if (role.ends_with(kStout)) return find_default(yard, role.substr(0, role.size() - kStout.size()));
  return fail("no-default", fmt::format("{} proposes nothing for {}", yard.title, quoted(role)), suggest(role, roles));
}

Result<void> set_measured_section(Yard& yard, std::string_view name, double a_mm, double b_mm) {
  const auto section = find_section(yard, name);
  if (!section) return tl::make_unexpected(section.error());
  if (auto checked = check_size(yard, "section " + quoted(name), a_mm, b_mm, kSectionSize); !checked) return checked;
  Section& measured = yard.sections[static_cast<std::size_t>(*section - yard.sections.data())];
  measured.width_mm = std::max(a_mm, b_mm);
  measured.thickness_mm = std::min(a_mm, b_mm);
  measured.measured = true;
  return {};
}

Result<void> set_measured_panel(Yard& yard, std::string_view name, double width_mm, double height_mm) {
  const auto panel = find_panel(yard, name);
  if (!panel) return tl::make_unexpected(panel.error());
  if (auto checked = check_size(yard, "panel " + quoted(name), width_mm, height_mm, kPanelSize); !checked)
    return checked;
  PanelItem& measured = yard.panels[static_cast<std::size_t>(*panel - yard.panels.data())];
  measured.width_mm = width_mm;
  measured.height_mm = height_mm;
  measured.measured = true;
  return {};
}

Result<void> set_price(Yard& yard, std::string_view section, double length_mm, Money price) {
  const auto found = find_section(yard, section);
  if (!found) return tl::make_unexpected(found.error());
  if (price.minor < 0)
    return fail("bad-price", fmt::format("the price of {} is {}", section, format_money(price, yard.currency)),
                "give 0 or more");
  const LengthStyle style = style_of(yard);
  std::vector<std::string> sold;
  for (YardLength& length : yard.sections[static_cast<std::size_t>(*found - yard.sections.data())].lengths) {
    if (!length.straight && std::abs(length.length_mm - length_mm) < 0.05) {  // as finely as lengths are printed
      length.price = price;
      length.singly = true;
      return {};
    }
    sold.push_back(format_length(length.length_mm, style));
  }
  return fail("unknown-length",
              fmt::format("{} sells no {} of section {}", yard.title, format_length(length_mm, style), section),
              sold.empty() ? "" : fmt::format("it sells {}", fmt::join(sold, ", ")));
}

}  // namespace garthwright::timber
