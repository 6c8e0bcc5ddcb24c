// SPDX-License-Identifier: Apache-2.0
#include "exchange/plan_json.h"

#include <gtest/gtest.h>

#include <numbers>

#include "exchange/json_values.h"
#include "exchange/tables_csv.h"

namespace garthwright::exchange {
namespace {

/// One rafter with every kind of machining there is, and a small purchase.
Plan one_rafter() {
  Structure structure;
  structure.name = "lean-to";
  structure.pattern = "by hand";
  structure.sections.emplace_back().name = "4x2";
  Piece rafter;
  rafter.name = "rafter";
  rafter.where = "left";
  rafter.mark = "A1";
  rafter.section = SectionId{0};
  rafter.length = Traced::named("depth", 1200, "choice") + 2 * Traced::named("overhang", 150, "default");
  rafter.width = 95;
  rafter.thickness = 45;
  const double root = std::numbers::sqrt2 / 2;
  rafter.machining = {
      EndCut{End::start, {95, 0, 0}, {-root, root, 0}},
      ShapedEnd{
          End::finish,
          "quarter round",
          1405,
          0,
          {{.kind = Stroke::Kind::arc, .x = 1500, .y = 95, .centre_x = 1405, .centre_y = 95, .clockwise = false}}},
      Notch{Notch::Kind::halving, {{400, 0, 0}, {445, 47.5, 45}}, 0, Face::edge_low, kWall, Traced(400.0), {}, {}},
      Hole{Hole::Kind::bolt, {600, 47.5, 0}, {0, 0, 1}, 11, 45, true}};
  structure.pieces.push_back(rafter);

  Plan plan;
  plan.title = "Lean-to";
  plan.garden.structures.push_back(structure);
  plan.wholes.emplace_back();
  plan.pieces.push_back(
      {"A1", "rafter", "lean-to", 0, PieceId{0}, 3, "4x2", 95, 45, 1500, 6e6, 3.9004, rafter.length.sum()});
  plan.purchase.currency = {"EUR", 2};
  plan.purchase.timber.push_back({"4x2", 4800, 1, {1295}});
  plan.purchase.panels.push_back({"trellis, \"fine\"", 2, {2500}, 2, "each"});
  plan.purchase.proof = {{1295}, {1295}, true};
  plan.purchase.total = {6295};
  return plan;
}

TEST(PlanJson, WritesEveryKindOfMachiningInItsOwnWords) {
  const Json machining = Json::parse(plan_json(one_rafter()))["pieces"][0]["machining"];
  ASSERT_EQ(machining.size(), 4u);
  EXPECT_EQ(machining[0].dump(),
            R"({"kind":"end_cut","end":"start","point_mm":[95.0,0.0,0.0],"normal":[-0.707106781,0.707106781,0.0],)"
            R"("mitre_deg":45.0,"bevel_deg":0.0})");
  EXPECT_EQ(machining[1].dump(),
            R"({"kind":"shaped_end","end":"finish","profile":"quarter round","start_mm":[1405.0,0.0],"strokes":[)"
            R"({"kind":"arc","to_mm":[1500.0,95.0],"centre_mm":[1405.0,95.0],"clockwise":false}]})");
  EXPECT_EQ(machining[2].dump(),
            R"({"kind":"halving","opens_on":"edge_low","from_mm":[400.0,0.0,0.0],"to_mm":[445.0,47.5,45.0],)"
            R"("against":"the wall","why":"400"})");
  EXPECT_EQ(machining[3].dump(), R"({"kind":"hole","use":"bolt","entry_mm":[600.0,47.5,0.0],"direction":[0.0,0.0,1.0],)"
                                 R"("diameter_mm":11.0,"depth_mm":45.0,"through":true})");
}

TEST(PlanJson, KeepsTheContractsOrderOfKeys) {
  const Json plan = Json::parse(plan_json(one_rafter()));
  std::vector<std::string> keys;
  for (const auto& [key, value] : plan.items()) keys.push_back(key);
  EXPECT_EQ(keys, (std::vector<std::string>{"format", "title", "units", "structures", "pieces", "panels", "purchase",
                                            "marking", "site", "stands", "stand_lines", "checks", "holes", "stages",
                                            "ways", "cautions", "left_out", "diagnostics"}));
}

TEST(PlanJson, RoundsToThousandthsAndHasNoMinusZero) {
  EXPECT_EQ(rounded(3.9004).dump(), "3.9");
  EXPECT_EQ(rounded(1240.0005).dump(), "1240.001");
  EXPECT_EQ(rounded(-1e-9).dump(), "0.0");
  EXPECT_EQ(rounded(std::numeric_limits<double>::quiet_NaN()).dump(), "null");
}

TEST(PlanJson, PanelsAreBoughtWithTheExtrasSoThatTheListsAddUp) {
  const Json purchase = Json::parse(plan_json(one_rafter()))["purchase"];
  std::int64_t sum = 0;
  for (const char* list : {"timber", "fixings", "ground", "extras"})
    for (const Json& line : purchase[list])
      sum += line["quantity"].get<std::int64_t>() * line["unit_price_minor"].get<std::int64_t>();
  EXPECT_EQ(purchase["total_minor"], sum);
}

TEST(Tables, HoldOneLineForEachMarkAndEachThingToBuy) {
  const Plan plan = one_rafter();
  EXPECT_EQ(pieces_csv(plan),
            "mark,name,structure,quantity,section,width_mm,thickness_mm,length_mm,length,mass_kg,why\r\n"
            "A1,rafter,lean-to,3,4x2,95,45,1500,1500 mm,3.9,depth 1200 + 2 × overhang 150\r\n");
  EXPECT_EQ(shopping_csv(plan),
            "kind,name,length_mm,quantity,unit,unit_price,amount,currency\r\n"
            "timber,4x2,4800,1,length,12.95,12.95,EUR\r\n"
            "panel,\"trellis, \"\"fine\"\"\",,2,each,25.00,50.00,EUR\r\n");
}

TEST(Tables, TakeTheCommaForTheDecimalSignBetweenSemicolons) {
  const Plan plan = one_rafter();
  EXPECT_EQ(pieces_csv(plan, Csv::semicolon),
            "mark;name;structure;quantity;section;width_mm;thickness_mm;length_mm;length;mass_kg;why\r\n"
            "A1;rafter;lean-to;3;4x2;95;45;1500;1500 mm;3,9;depth 1200 + 2 × overhang 150\r\n");
  EXPECT_EQ(shopping_csv(plan, Csv::semicolon),
            "kind;name;length_mm;quantity;unit;unit_price;amount;currency\r\n"
            "timber;4x2;4800;1;length;12,95;12,95;EUR\r\n"
            "panel;\"trellis, \"\"fine\"\"\";;2;each;25,00;50,00;EUR\r\n");
}

}  // namespace
}  // namespace garthwright::exchange
