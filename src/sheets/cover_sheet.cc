// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sheets/amounts.h"
#include "sheets/job_code.h"
#include "sheets/kinds.h"
#include "sheets/surroundings.h"

namespace garthwright::sheets {

namespace {

struct Fact {
  std::string name, value;
};

// A size above or below the ground, from the world box of the whole.
std::vector<Fact> facts_of(const Brief& brief, std::size_t i) {
  std::vector<Fact> facts;
  const auto& plan = brief.plan;
  if (i < plan.wholes.size()) {
    const Whole& w = plan.wholes[i];
    const Vec3 size = w.box.size();
    facts.push_back({"width, all over", brief.lengths(size.x)});
    facts.push_back({"depth, all over", brief.lengths(size.y)});
    facts.push_back({"height above ground", brief.lengths(w.box.max.z)});
    if (w.box.min.z < -0.5) facts.push_back({"in the ground", brief.lengths(-w.box.min.z)});
    facts.push_back({"timber, as bought", mass_words(brief.lengths.style.units, w.timber_kg)});
    if (w.panels_kg > 0) facts.push_back({"panels", mass_words(brief.lengths.style.units, w.panels_kg)});
  }
  return facts;
}

std::string words_of(const Choice& choice, const Lengths& lengths) {
  if (!choice.value) return choice.text;
  const auto& terms = choice.value->terms();
  const bool is_length = terms.size() != 1 || terms[0].quantity->length;
  if (is_length) return lengths(choice.value->value());
  const std::string number = fmt::format("{:.3f}", choice.value->value());
  const std::size_t end = number.find_last_not_of("0.");
  return choice.value->value() == std::round(choice.value->value()) ? fmt::format("{:.0f}", choice.value->value())
                                                                    : number.substr(0, end + 1);
}

double draw_facts(Items& items, const std::string& heading, const std::vector<Fact>& facts, const Rect& room) {
  constexpr double kRow = 4.3, kLeastRow = 2.9;
  const double head = kBody * 1.1 * 1.5;
  // Many facts stand closer, in smaller type, rather than be left out.
  const double row =
      std::clamp((room.height() - head) / static_cast<double>(std::max<std::size_t>(facts.size(), 1)), kLeastRow, kRow);
  const double size = kBody * std::min(1.0, row / kRow + 0.08);
  double y = room.top;
  write(items, shortened(heading, room.width(), kBody * 1.1, Lettering::bold),
        {room.left, y + kCapHeight * kBody * 1.1}, kBody * 1.1, Lettering::bold);
  y += kBody * 1.1 * 1.5;
  line(items, {room.left, y}, {room.right, y}, kThick);
  for (std::size_t i = 0; i < facts.size(); ++i) {
    const double base = y + row / 2 + kCapHeight * size / 2;
    if (y + 2 * row > room.bottom + 0.01 && i + 1 < facts.size()) {
      write(items, fmt::format("and {} more, in plan.json", facts.size() - i), {room.left, base}, size);
      return y + row;
    }
    const double value_width = std::min(text_width(facts[i].value, size, Lettering::plain), room.width() * 0.62);
    write(items, shortened(facts[i].name, room.width() - value_width - 2, size), {room.left, base}, size);
    write(items, shortened(facts[i].value, room.width() * 0.62 + 0.01, size), {room.right, base}, size,
          Lettering::plain, 1);
    y += row;
    line(items, {room.left, y}, {room.right, y}, kHair);
  }
  return y;
}

/// In one column, or in two where one would be set too small to read.
double draw_choices(Items& items, const std::vector<Fact>& choices, const Rect& room) {
  const std::string heading = "Choices (* default)";
  constexpr double kReadable = 3.7;  // mm a row
  if (static_cast<double>(choices.size() + 2) * kReadable <= room.height())
    return draw_facts(items, heading, choices, room);
  const auto half = choices.begin() + static_cast<std::ptrdiff_t>((choices.size() + 1) / 2);
  const double middle = room.centre().x;
  const double y = draw_facts(items, heading, {choices.begin(), half}, {room.left, room.top, middle - 2, room.bottom});
  draw_facts(items, "", {half, choices.end()}, {middle + 2, room.top, room.right, room.bottom});
  return y;
}

void draw_isometric(Items& items, const Structure& s, const solid::Solids& solids, const Rect& room, bool named) {
  const Picture picture = take_standing(s, solids);
  const double bottom = named ? room.bottom - 8 : room.bottom;
  const double reduction = std::max({picture.width() / room.width(), picture.height() / (bottom - room.top), 1e-6});
  const double width = picture.width() / reduction, height = picture.height() / reduction;
  const OnPage place{
      reduction, picture.left, picture.high, {room.centre().x - width / 2, (room.top + bottom) / 2 - height / 2}};
  draw_standing(items, s, solids, picture, place);
  if (named) {
    write(items, shortened(s.name, room.width(), kBody, Lettering::bold), {room.centre().x, room.bottom - 2}, kBody,
          Lettering::bold, 0);
  }
}

std::vector<Fact> cost_facts(const Plan& plan) {
  const auto& p = plan.purchase;
  int pieces = 0, lengths = 0;
  for (const PieceRow& row : plan.pieces) pieces += row.quantity;
  for (const buying::TimberLine& l : p.timber) lengths += l.lengths();
  std::vector<Fact> facts{{"pieces to cut", fmt::format("{}, of {} marks", pieces, plan.pieces.size())},
                          {"lengths to buy", fmt::format("{}", lengths)}};
  if (!p.currency.code.empty()) {
    facts.push_back({"timber", format_money(p.proof.cost, p.currency)});
    facts.push_back({"everything", format_money(p.total, p.currency)});
  }
  return facts;
}

/// Whether the first sheet has the job's code already.
bool bears_code(const std::vector<Sheet>& sheets) {
  if (sheets.empty()) return false;
  return std::any_of(sheets.front().items.begin(), sheets.front().items.end(), [](const Item& item) {
    const auto* group = std::get_if<Group>(&item.value);
    return group != nullptr && group->name == kJobCode;
  });
}

}  // namespace

void draw_cover(std::vector<Sheet>& sheets, const Brief& brief, const AllSolids& solids) {
  const Plan& plan = brief.plan;
  Sheet sheet = new_sheet(brief, "cover", "Overview", Turned::landscape);
  const Rect area = drawing_area(sheet);
  write(sheet.items, shortened(plan.title, area.width(), kTitle, Lettering::bold),
        {area.left, area.top + kCapHeight * kTitle}, kTitle, Lettering::bold);
  std::string subtitle;
  for (const Structure& s : plan.garden.structures) {
    subtitle += (subtitle.empty() ? "" : "; ") + s.name + ", " + s.pattern;
    for (const Part& guest : s.guests) subtitle += ", with " + guest.name;
  }
  write(sheet.items, shortened(subtitle, area.width(), kHeading * 0.86), {area.left, area.top + 12.5}, kHeading * 0.86);
  if (!brief.issue.changed.empty())
    write(sheet.items,
          shortened("Changed" + (brief.issue.revision.empty() ? "" : " at " + brief.issue.revision) + ": " +
                        brief.issue.changed,
                    area.width(), kBody),
          {area.left, area.top + 17}, kBody);

  const double column = area.right - 92, top = area.top + (brief.issue.changed.empty() ? 18 : 21);
  const Rect cautions{area.left, area.bottom - 19, area.right, area.bottom};
  Rect pictures{area.left, top, column - 8, cautions.top - 4};
  if (const std::string address = job_address(brief.job); !bears_code(sheets) && code_side(address) > 0) {
    const double side = code_side(address);
    draw_named_code(sheet.items, address, {area.left, cautions.top - 12 - side});
    pictures.left += side;
  }
  const std::size_t count = plan.garden.structures.size();
  for (std::size_t i = 0; i < count; ++i) {
    const double width = pictures.width() / static_cast<double>(count);
    const double left = pictures.left + width * static_cast<double>(i);
    draw_isometric(sheet.items, plan.garden.structures[i], *solids[i],
                   {left + 1, pictures.top, left + width - 1, pictures.bottom}, count > 1);
  }

  Rect facts{column, top, area.right, cautions.top - 4};
  facts.top = draw_facts(sheet.items, "In all", cost_facts(plan), facts) + 5;
  for (std::size_t i = 0; i < count && facts.height() > 30; ++i) {
    facts.top = draw_facts(sheet.items, plan.garden.structures[i].name, facts_of(brief, i), facts) + 5;
    if (count > 1 || facts.height() < 20) continue;
    std::vector<Fact> choices;
    for (const Choice& c : plan.garden.structures[i].choices) {
      choices.push_back({c.name + (c.source == "job" ? "" : " *"), words_of(c, brief.lengths)});
    }
    if (choices.empty()) continue;
    facts.top = draw_choices(sheet.items, choices, facts) + 5;
  }

  line(sheet.items, {cautions.left, cautions.top}, {cautions.right, cautions.top}, kMedium);
  const double width = cautions.width();
  double y = cautions.top + 2.4;
  y = write_block(
      sheet.items,
      "Results are indicative. Local codes, permits and licensed practice go first. Find buried services before "
      "you dig; wear mask, goggles and gloves when cutting treated timber; never burn it; brace what stands "
      "until it is fixed. Read the sheet \"Cautions\" before you begin.",
      {cautions.left, y}, width, kBody);
  if (!plan.purchase.price_note.empty()) {
    write_block(sheet.items, "Prices: " + plan.purchase.price_note, {cautions.left, y + 0.4}, width, kNote);
  }
  sheets.push_back(std::move(sheet));
}

}  // namespace garthwright::sheets
