// SPDX-License-Identifier: Apache-2.0
#include "exchange/plan_json.h"

#include <cmath>
#include <utility>

#include "exchange/json_values.h"
#include "exchange/machining_json.h"
#include "exchange/model_bodies.h"
#include "exchange/piece_row.h"
#include "structure/garden_frame.h"

namespace garthwright::exchange {

namespace {

template <class Items, class Write>
Json list(const Items& items, Write write) {
  Json array = Json::array();
  for (const auto& item : items) array.push_back(write(item));
  return array;
}

// ---- structures and pieces ------------------------------------------------------------------------------------------

Json choice_json(const Choice& choice) {
  Json entry = {{"name", choice.name}, {"text", choice.text}, {"source", choice.source}};
  if (choice.value) entry["value"] = rounded(choice.value->value());
  return entry;
}

Json part_json(const Structure& host, const Part& part) {
  return {{"name", part.name},
          {"pattern", part.pattern},
          {"at_mm", point(part.at)},
          {"turn_deg", rounded(part.turn_deg)},
          {"choices", list(part.choices, choice_json)},
          {"posts", list(part.posts, [&](const SharedAs& shared) {
             return Json{{"called", shared.called},
                         {"is", describe(host, body(shared.post))},
                         {"mark", host[shared.post].mark}};
           })}};
}

Json structure_json(const Structure& structure, const Whole& whole) {
  Json entry = {{"name", structure.name},
                {"pattern", structure.pattern},
                {"at_mm", point(structure.at)},
                {"turn_deg", rounded(structure.turn_deg)},
                {"choices", list(structure.choices, choice_json)},
                {"timber_kg", rounded(whole.timber_kg)},
                {"panels_kg", rounded(whole.panels_kg)},
                {"centre_mm", point(whole.centre)},
                {"box_mm", {point(whole.box.min), point(whole.box.max)}}};
  if (!structure.guests.empty())
    entry["guests"] = list(structure.guests, [&](const Part& part) { return part_json(structure, part); });
  return entry;
}

Json structures_json(const Plan& plan) {
  Json array = Json::array();
  for (std::size_t i = 0; i < plan.garden.structures.size(); ++i)
    array.push_back(structure_json(plan.garden.structures[i], i < plan.wholes.size() ? plan.wholes[i] : Whole{}));
  return array;
}

Json piece_json(const Plan& plan, const PieceRow& row) {
  const Structure& structure = plan.garden.structures[static_cast<std::size_t>(row.structure_index)];
  Json json = piece_row_json(row);
  json["volume_mm3"] = rounded(row.volume_mm3);
  json["mass_kg"] = rounded(row.mass_kg);
  json["why"] = row.why;
  json["machining"] = list(structure[row.example].machining, [&](const Machining& machining) {
    return machining_json(structure, machining, plan.style);
  });
  return json;
}

Json panels_json(const Plan& plan) {
  Json array = Json::array();
  for (const Structure& structure : plan.garden.structures)
    for (const Panel& panel : structure.panels)
      array.push_back({{"name", panel.name},
                       {"structure", structure.name},
                       {"item", panel.item},
                       {"width_mm", rounded(panel.width.value())},
                       {"height_mm", rounded(panel.height.value())},
                       {"thickness_mm", rounded(panel.thickness.value())},
                       {"mass_kg", rounded(panel.mass_kg)}});
  return array;
}

// ---- purchase -------------------------------------------------------------------------------------------------------

/// Of several yards each line names its own.
void name_yard(Json& line, const timber::Offer& offer, const pattern::Job& job) {
  if (job.yards.size() > 1) line["yard"] = job.yards[static_cast<std::size_t>(offer.yard)].name;
}

Json timber_line_json(const buying::TimberLine& line, const pattern::Job& job) {
  Json json = {{"section", line.section},
               {"length_mm", rounded(line.length_mm)},
               {"quantity", line.quantity},
               {"unit_price_minor", line.unit_price.minor}};
  if (line.straight) json["straight"] = true;
  if (line.bundle > 1) json["bundle"] = line.bundle;
  name_yard(json, line.offer, job);
  return json;
}

Json item_lines_json(const std::vector<buying::ItemLine>& lines, const pattern::Job& job) {
  return list(lines, [&](const buying::ItemLine& line) {
    Json json = {{"name", line.name},
                 {"quantity", line.quantity},
                 {"unit_price_minor", line.unit_price.minor},
                 {"unit", line.unit},
                 {"needed", rounded(line.needed)}};
    name_yard(json, line.offer, job);
    return json;
  });
}

Json bill_json(const buying::YardBill& bill) {
  return {{"name", bill.name},
          {"title", bill.title},
          {"goods_minor", bill.goods.minor},
          {"delivery_minor", bill.delivery.minor},
          {"make_up_minor", bill.make_up.minor},
          {"tax_minor", bill.tax.minor},
          {"total_minor", bill.total().minor}};
}

Json proof_json(const buying::Proof& proof) {
  return {{"cost_minor", proof.cost.minor}, {"lower_bound_minor", proof.lower_bound.minor}, {"optimal", proof.optimal}};
}

Json cut_piece_json(const buying::CutPiece& piece) {
  Json json = {{"mark", piece.mark},
               {"at_mm", rounded(piece.at_mm)},
               {"length_mm", rounded(piece.length_mm)},
               {"across_mm", rounded(piece.across_mm)}};
  if (piece.part > 0) json["part"] = piece.part;
  return json;
}

Json layout_json(const buying::Layout& layout) {
  Json json = {{"section", layout.section},
               {"length_mm", rounded(layout.length_mm)},
               {"count", layout.count},
               {"pieces", list(layout.pieces, cut_piece_json)},
               {"offcut_mm", rounded(layout.offcut_mm)}};
  if (layout.from_shed) json["from_shed"] = true;
  if (layout.straight) json["straight"] = true;
  return json;
}

Json on_hand_json(const buying::OnHand& on_hand) {
  return {{"off_cuts", list(on_hand.off_cuts,
                            [](const buying::OffCut& off_cut) {
                              return Json{{"section", off_cut.section},
                                          {"length_mm", rounded(off_cut.length_mm)},
                                          {"quantity", off_cut.quantity}};
                            })},
          {"fixings", list(on_hand.fixings, [](const buying::SpareFixing& fixing) {
             return Json{{"name", fixing.item}, {"quantity", fixing.quantity}};
           })}};
}

/// What is bought besides timber, fixings and ground works: panels first, then delivery and the like.
std::vector<buying::ItemLine> extras(const buying::Report& report) {
  std::vector<buying::ItemLine> lines = report.panels;
  lines.insert(lines.end(), report.extras.begin(), report.extras.end());
  return lines;
}

Json purchase_json(const buying::Report& report, const pattern::Job& job) {
  Json json = {{"currency", report.currency.code},
               {"minor_digits", report.currency.minor_digits},
               {"price_note", report.price_note},
               {"total_minor", report.total.minor},
               {"timber", list(report.timber, [&](const auto& line) { return timber_line_json(line, job); })},
               {"fixings", item_lines_json(report.fixings, job)},
               {"ground", item_lines_json(report.ground, job)},
               {"extras", item_lines_json(extras(report), job)},
               {"proof", proof_json(report.proof)},
               {"cutting", list(report.cutting, layout_json)},
               {"from_shed", on_hand_json(report.from_shed)},
               {"left_over", on_hand_json(report.left_over)}};
  if (report.bills.empty()) return json;
  json["yards"] = list(report.bills, bill_json);
  json["proof_of_total"] = proof_json(report.whole);
  return json;
}

// ---- holes ----------------------------------------------------------------------------------------------------------

Json hole_json(const Plan& plan, const HoleRow& hole) {
  const Structure& structure = plan.garden.structures[static_cast<std::size_t>(hole.part.index)];
  const bool filled = !hole.bag.empty();
  return {{"x_mm", rounded(hole.centre.x)},
          {"y_mm", rounded(hole.centre.y)},
          {"ground_mm", rounded(hole.ground_mm)},
          {"diameter_mm", rounded(hole.diameter_mm)},
          {"depth_mm", rounded(hole.depth_mm)},
          {"gravel_mm", rounded(hole.gravel_mm)},
          {"concrete_l", rounded(hole.concrete_l)},
          {"bags", filled ? Json(hole.bags) : Json(nullptr)},
          {"bag", filled ? Json(hole.bag) : Json(nullptr)},
          {"structure", structure.name},
          {"post", structure[hole.post].mark}};
}

// ---- checks ---------------------------------------------------------------------------------------------------------

/// A body as model.glb names it; the mark beside it, which all equal pieces share.
Json subject_json(const Structure& part, Body body) {
  const bool stands_here = body.kind == Body::Kind::piece || body.kind == Body::Kind::panel;
  Json json{{"part", part.name}, {"body", stands_here ? instance_name(part, body) : describe(part, body)}};
  if (body.kind == Body::Kind::piece) json["mark"] = part[PieceId{body.index}].mark;
  return json;
}

/// Null where no load acts.
Json state_json(const Structure& part, const Situation& when) {
  const State& state = when.state;
  if (state.kind == State::Kind::any) return nullptr;
  Json json{{"kind", name(state.kind)}, {"combination", when.combination}, {"clause", when.clause}};
  if (state.growing()) json["year"] = state.year;
  if (state.off_the_house) json["off_the_house"] = true;
  if (state.kind == State::Kind::person) {
    json["person"] = name(state.person);
    json["on"] = subject_json(part, state.on);
  }
  return json;
}

Json check_json(const Plan& plan, const Check& check) {
  const Structure& part = plan.garden.structures[static_cast<std::size_t>(check.part.index)];
  const CheckWords words = words_of(check, part);
  Json json{{"id", words.id},
            {"kind", name(check.kind)},
            {"title", words.title},
            {"structure", part.name},
            {"subjects", list(check.subjects, [&](Body body) { return subject_json(part, body); })},
            {"state", state_json(part, check.when)},
            {"demand", rounded(check.demand)},
            {"capacity", rounded(check.capacity)},
            {"unit", check.unit},
            {"utilisation", rounded(check.utilisation)},
            {"verdict", name(check.verdict)},
            {"worth", name(check.worth)},
            {"source", check.source},
            {"combination", words.when},
            {"plain", check.plain}};
  if (check.place) json["place_mm"] = point(garden_frame(part).to_world(*check.place));
  return json;
}

Json site_json(const Site& site) {
  const bool us = site.route == Site::Route::us;
  Json json{{"route", us ? "US" : "EN"},
            {"wind_m_s", rounded(site.wind_m_s)},
            {"exposure", site.exposure},
            {"category", us ? site.exposure_letter : site.terrain},
            {"snow_kpa", rounded(site.snow_kpa)},
            {"soil", site.soil},
            {"frost_mm", rounded(site.frost_mm)},
            {"climber", site.climber},
            {"foliage", site.closed_foliage ? "closed" : "open"},
            {"consequence", site.low_consequence ? "low" : "normal"},
            {"assumed", site.assumed}};
  if (site.clay_kpa > 0) json["clay_kpa"] = rounded(site.clay_kpa);
  if (!us) json["kmod_wind"] = site.wind_is_instantaneous ? 0.9 : 0.7;
  return json;
}

Json stand_json(const Plan& plan, const Stand& stand) {
  const Structure& part = plan.garden.structures[static_cast<std::size_t>(stand.part.index)];
  Json json{{"part", part.name},
            {"state", name(stand.state)},
            {"gives_at_m_s", rounded(stand.gives_at_m_s)},
            {"asked_m_s", rounded(stand.asked_m_s)},
            {"enough", stand.enough()},
            {"what", nullptr}};
  if (stand.first) {
    const CheckWords words = words_of(*stand.first, part);
    json["what"] = words.title;
    json["check"] = words.id;
    json["when"] = words.when;
  }
  return json;
}

Json checks_json(const Plan& plan) {
  return list(all_checks(plan), [&](const Check* check) { return check_json(plan, *check); });
}

// ---- marking, diagnostics -------------------------------------------------------------------------------------------

Json side_json(Json json, std::string_view key, const marking::Side& side) {
  json[key] = face_key(side.face);
  if (side.cut > 0) json[std::string(key) + "_cut"] = side.cut;
  return json;
}

/// Which sides of the other body lie in a seat, on this line of it, and where it is measured across.
Json seated_json(const Structure& structure, const marking::Mark& mark, const marking::Seat& seat) {
  Json json{{"body", instance_name(structure, seat.other)}};
  json = side_json(json, "touches", seat.touching);
  json = side_json(json, "line", mark.is_near ? seat.near.theirs : seat.far.theirs);
  json = side_json(json, "across", seat.across);
  json["across_mm"] = rounded(seat.across_mm);
  if (std::abs(seat.let_in_mm) > 1e-6) json["let_in_mm"] = rounded(seat.let_in_mm);
  if (mark.tilt_deg != 0) json["let_in_at_mm"] = rounded(seat.let_in_at_mm);
  return json;
}

Json for_fixing_json(const marking::ForFixing& fixing, double diameter) {
  Json json{{"name", fixing.item}, {"drill", diameter == 0 ? "none" : fixing.last ? "pilot" : "clearance"}};
  if (fixing.counterbore_mm > 0) {
    json["counterbore_mm"] = rounded(fixing.counterbore_mm);
    json["counterbore_depth_mm"] = rounded(fixing.sunk_mm);
  }
  return json;
}

Json mark_json(const Structure& structure, const marking::Mark& mark) {
  Json entry = {
      {"at_mm", rounded(mark.at_mm)}, {"face", mark.face}, {"kind", name(mark.kind)}, {"against", mark.against}};
  if (mark.on) entry["on"] = face_key(*mark.on);
  if (mark.side != marking::Lies::nowhere) entry["side"] = name(mark.side);
  if (mark.from_face) {
    if (mark.across_mm) entry["across_mm"] = rounded(*mark.across_mm);
    if (mark.wide_mm) entry["wide_mm"] = rounded(*mark.wide_mm);
    entry["from"] = mark.from;
    entry["from_on"] = face_key(*mark.from_face);
  }
  if (mark.across_thickness_mm) entry["across_thickness_mm"] = rounded(*mark.across_thickness_mm);
  if (mark.depth_mm != 0) entry["depth_mm"] = rounded(mark.depth_mm);
  if (mark.diameter_mm != 0) entry["diameter_mm"] = rounded(mark.diameter_mm);
  if (!mark.seats.empty()) {
    entry["line"] = mark.is_near ? "near" : "far";
    if (mark.angle_deg != 0) entry["angle_deg"] = direction_part(mark.angle_deg);
    if (mark.tilt_deg != 0) entry["tilt_deg"] = direction_part(mark.tilt_deg);
    entry["with"] = list(mark.seats, [&](const std::optional<marking::Seat>& seat) {
      return seat ? seated_json(structure, mark, *seat) : Json(nullptr);
    });
  }
  if (mark.fixing) entry["fixing"] = for_fixing_json(*mark.fixing, mark.diameter_mm);
  if (!mark.setting.empty()) entry["how"] = mark.setting;
  if (!mark.why.empty()) entry["why"] = mark.why;
  return entry;
}

Json mark_list_json(const Plan& plan, const marking::MarkList& marks) {
  const Structure& structure = plan.garden.structures[static_cast<std::size_t>(marks.structure)];
  Json faces = Json::object();
  for (std::size_t i = 0; i < marks.faces.size(); ++i)
    faces[std::string(face_key(static_cast<Face>(i)))] = marks.faces[i];
  Json json{{"mark", marks.mark}, {"datum", marks.datum}, {"structure", structure.name}};
  if (!marks.hand.empty()) json["hand"] = marks.hand;
  json["pieces"] = list(marks.pieces, [&](PieceId id) { return instance_name(structure, body(id)); });
  json["faces"] = std::move(faces);
  json["marks"] = list(marks.marks, [&](const marking::Mark& mark) { return mark_json(structure, mark); });
  return json;
}

// ---- stages ---------------------------------------------------------------------------------------------------------

Json stage_fixing_json(const sequence::FixingCount& fixing) {
  return {{"name", fixing.item},
          {"count", fixing.count},
          {"tool", fixing.tool},
          {"pilot_mm", rounded(fixing.pilot)},
          {"clearance_mm", rounded(fixing.clearance)}};
}

Json motion_json(const Structure& structure, const sequence::Motion& motion) {
  return {{"bodies", list(motion.bodies, [&](Body body) { return describe(structure, body); })},
          {"to", motion.at == sequence::kSite ? "site" : "trestles"},
          {"way", direction(motion.way)}};
}

Json stage_json(const Structure& structure, const sequence::Stage& stage) {
  return {{"number", stage.number},
          {"title", stage.title},
          {"structure", structure.name},
          {"adds", stage.adds},
          {"actions", stage.actions},
          {"fixings", list(stage.fixings, stage_fixing_json)},
          {"people", stage.people},
          {"lift_kg", rounded(stage.lift_kg)},
          {"wait_h", rounded(stage.wait_h)},
          {"turn", stage.turns},
          {"minutes", rounded(stage.minutes)},
          {"motions", list(stage.motions, [&](const sequence::Motion& m) { return motion_json(structure, m); })}};
}

Json way_json(const Structure& structure, const sequence::WeighedWay& way) {
  Json json{{"structure", structure.name}, {"way", name(way.way)}, {"taken", way.taken}};
  if (!way.why_not.empty()) {
    json["why_not"] = way.why_not;
    return json;
  }
  json["minutes"] = rounded(way.minutes);
  json["stages"] = way.stages;
  json["lift_kg"] = rounded(way.lift_kg);
  json["people"] = way.people;
  if (way.through) json["through_mm"] = {rounded(way.through->wide_mm), rounded(way.through->high_mm)};
  return json;
}

Json ways_json(const Plan& plan) {
  Json ways = Json::array();
  for (std::size_t i = 0; i < plan.orders.size(); ++i)
    for (const sequence::WeighedWay& way : plan.orders[i].ways)
      ways.push_back(way_json(plan.garden.structures[i], way));
  return ways;
}

Json stages_json(const Plan& plan) {
  Json stages = Json::array();
  for (std::size_t i = 0; i < plan.orders.size(); ++i)
    for (const sequence::Stage& stage : plan.orders[i].stages)
      stages.push_back(stage_json(plan.garden.structures[i], stage));
  return stages;
}

Json diagnostic_json(const Diagnostic& diagnostic) {
  return {{"severity", name(diagnostic.severity)},
          {"code", diagnostic.code},
          {"what", diagnostic.what},
          {"cure", diagnostic.cure},
          {"file", diagnostic.where.file},
          {"line", diagnostic.where.line},
          {"column", diagnostic.where.column},
          {"piece", diagnostic.where.piece}};
}

}  // namespace

std::string plan_json(const Plan& plan) {
  const Json document = {
      {"format", 2},
      {"title", plan.title},
      {"units", plan.style.units == Units::mm ? "mm" : "ft-in"},
      {"structures", structures_json(plan)},
      {"pieces", list(plan.pieces, [&](const PieceRow& row) { return piece_json(plan, row); })},
      {"panels", panels_json(plan)},
      {"purchase", purchase_json(plan.purchase, plan.job)},
      {"marking", list(plan.marking.lists, [&](const auto& marks) { return mark_list_json(plan, marks); })},
      {"site", site_json(plan.site)},
      {"stands", list(plan.stands, [&](const Stand& stand) { return stand_json(plan, stand); })},
      {"stand_lines", stand_lines(plan.stands, plan.garden, plan.site)},
      {"checks", checks_json(plan)},
      {"holes", list(plan.holes, [&](const HoleRow& hole) { return hole_json(plan, hole); })},
      {"stages", stages_json(plan)},
      {"ways", ways_json(plan)},
      {"cautions", plan.cautions},
      {"left_out", list(plan.left_out, [](Study study) { return name(study); })},
      {"diagnostics", list(plan.diagnostics, diagnostic_json)},
  };
  // Text comes from files that were checked to be UTF-8; should a stray byte get through, it must not stop the plan.
  return document.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace garthwright::exchange
