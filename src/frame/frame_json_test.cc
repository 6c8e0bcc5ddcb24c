// SPDX-License-Identifier: Apache-2.0
#include "frame/frame_json.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

namespace garthwright::frame {
namespace {

using ::testing::HasSubstr;
using Json = nlohmann::json;

Json cantilever() {
  return Json::parse(R"({
    "nodes": [{"id": "foot", "xyz_mm": [0, 0, 0]}, {"id": "tip", "xyz_mm": [1000, 0, 0]}],
    "members": [{"id": "A1", "ends": ["foot", "tip"], "area_mm2": 2025, "iy_mm4": 341718.75, "iz_mm4": 341718.75,
                 "j_mm4": 577000, "e_mpa": 10000, "g_mpa": 600, "up": [0, 0, 1]}],
    "supports": [{"node": "foot", "fixed": [true, true, true, true, true, true]}],
    "loads": [{"node": "tip", "force_n": [0, 0, -100], "moment_nmm": [0, 0, 0]}]})");
}

std::string fault(const Json& json) {
  const Result<std::string> out = solve_frame_json(json.dump(), "frame.json");
  if (out) return "it was solved";
  std::string all;
  for (const Diagnostic& d : out.error()) all += to_string(d) + "\n";
  return all;
}

TEST(FrameJson, SolvesACantilever) {
  const Json out = Json::parse(solve_frame_json(cantilever().dump(), "frame.json").value());
  EXPECT_EQ("tip", out["displacements"][1]["node"]);
  const double sag = -100 * 1e9 / (3 * 10000 * 341718.75);
  EXPECT_NEAR(sag, out["displacements"][1]["translation_mm"][2].get<double>(), 1e-9);
  ASSERT_EQ(1u, out["reactions"].size());
  EXPECT_EQ("foot", out["reactions"][0]["node"]);
  EXPECT_NEAR(100, out["reactions"][0]["force_n"][2].get<double>(), 1e-9);
  EXPECT_NEAR(-100000, out["reactions"][0]["moment_nmm"][1].get<double>(), 1e-6);
  EXPECT_EQ("A1", out["members"][0]["id"]);
  ASSERT_EQ(2u, out["members"][0]["ends"].size());
  EXPECT_NEAR(100, out["members"][0]["ends"][0]["force_n"][1].get<double>(), 1e-9);
}

TEST(FrameJson, EverySupportHasAReaction) {
  Json in = cantilever();
  in["supports"].push_back({{"node", "tip"}, {"springs", {0, 0, 0, 0, 0, 0}}});
  const Json out = Json::parse(solve_frame_json(in.dump(), "frame.json").value());
  ASSERT_EQ(2u, out["reactions"].size());
  EXPECT_EQ(0, out["reactions"][1]["force_n"][2]);
}

TEST(FrameJson, NamesMayBeNumbersAndComeBackAsTheyWere) {
  Json in = cantilever();
  in["nodes"][0]["id"] = 7;
  in["members"][0]["ends"][0] = 7;
  in["supports"][0]["node"] = 7;
  const Json out = Json::parse(solve_frame_json(in.dump(), "frame.json").value());
  EXPECT_EQ(7, out["displacements"][0]["node"]);
}

TEST(FrameJson, ReleasesAndSprings) {
  Json in = cantilever();
  in["supports"].push_back({{"node", "tip"}, {"fixed", {true, true, true, true, true, true}}});
  in["members"][0]["releases"] = {{false, false, false, false, false, false},
                                  {false, false, false, false, false, true}};
  in["members"][0]["springs"] = {{nullptr, nullptr, nullptr, nullptr, nullptr, 1e7},
                                 {nullptr, nullptr, nullptr, nullptr, nullptr, nullptr}};
  in["loads"] = Json::array({{{"member", "A1"}, {"uniform_n_per_mm", {0, 0, -1}}}});
  const Json out = Json::parse(solve_frame_json(in.dump(), "frame.json").value());
  // Propped cantilever whose held end gives: M = (q L²/8) / (1 + 3EI/(L k))
  const double m = 1e6 / 8 / (1 + 3 * 10000 * 341718.75 / (1000 * 1e7));
  EXPECT_NEAR(m, out["members"][0]["ends"][0]["moment_nmm"][2].get<double>(), 1e-6);
  EXPECT_EQ(0, out["members"][0]["ends"][1]["moment_nmm"][2]);
}

/// The tip rests on a post's head that gives 50 N/mm and can be lifted off it; a screw holds it back sideways.
Json propped() {
  Json in = cantilever();
  in["nodes"].push_back({{"id", "head"}, {"xyz_mm", {1000, 0, -50}}});
  in["supports"].push_back({{"node", "head"}, {"fixed", {true, true, true, true, true, true}}});
  in["contacts"] = {
      {{"id", "seat"}, {"nodes", {"head", "tip"}}, {"at_mm", {1000, 0, -25}}, {"normal", {0, 0, 1}}, {"k_n_mm", 50}}};
  in["links"] = {{{"id", "screw"},
                  {"nodes", {"head", "tip"}},
                  {"at_mm", {1000, 0, 0}},
                  {"axis", {0, 0, 1}},
                  {"k_along_n_mm", 0},
                  {"k_across_n_mm", 20}}};
  return in;
}

TEST(FrameJson, LinksAndContacts) {
  Json in = propped();
  in["loads"][0]["force_n"] = {0, 30, -100};
  Json out = Json::parse(solve_frame_json(in.dump(), "frame.json").value());
  const double tip = 3 * 10000 * 341718.75 / 1e9;  // N/mm of the cantilever
  EXPECT_EQ("seat", out["contacts"][0]["id"]);
  EXPECT_NEAR(100 * 50 / (50 + tip), out["contacts"][0]["push_n"].get<double>(), 1e-6);
  EXPECT_EQ(0, out["contacts"][0]["gap_mm"]);
  EXPECT_EQ("screw", out["links"][0]["id"]);
  EXPECT_NEAR(-30 * 20 / (20 + tip), out["links"][0]["force_n"][1].get<double>(), 1e-6);
  EXPECT_LT(out["proof"]["out_of_balance"].get<double>(), 1e-9);
  in["loads"][0]["force_n"] = {0, 0, 100};
  out = Json::parse(solve_frame_json(in.dump(), "frame.json").value());
  EXPECT_EQ(0, out["contacts"][0]["push_n"]);
  EXPECT_NEAR(100 / tip, out["contacts"][0]["gap_mm"].get<double>(), 1e-6);
}

TEST(FrameJson, NamesWhatIsWrongWithLinksAndContacts) {
  Json in = propped();
  in["links"][0]["nodes"][1] = "top";
  EXPECT_THAT(fault(in), HasSubstr("links[0].nodes[1] of 'screw': there is no node 'top'"));
  in = propped();
  in["links"][0]["k_across_n_mm"] = -1;
  EXPECT_THAT(fault(in), HasSubstr("a stiffness of link 'screw' is -1; give N/mm: zero or above"));
  in = propped();
  in["contacts"][0]["k_n_mm"] = 0;
  EXPECT_THAT(fault(in), HasSubstr("contact 'seat' gives way to nothing"));
  in = propped();
  in["contacts"][0]["normal"] = {0, 0, 0};
  EXPECT_THAT(fault(in), HasSubstr("contact 'seat' has no direction"));
  in = propped();
  in["contacts"][0]["nodes"] = {"tip", "tip"};
  EXPECT_THAT(fault(in), HasSubstr("contact 'seat' has the same node on both sides"));
  in = propped();
  in["contacts"].push_back(in["contacts"][0]);
  EXPECT_THAT(fault(in), HasSubstr("contacts[1]: contact 'seat' is there twice"));
}

TEST(FrameJson, WhatIsLiftedOffIsSaid) {
  const Json in = Json::parse(R"({
    "nodes": [{"id": "a", "xyz_mm": [0, 0, 0]}, {"id": "b", "xyz_mm": [1000, 0, 0]},
              {"id": "wall", "xyz_mm": [0, 0, -50]}, {"id": "post", "xyz_mm": [1000, 0, -50]}],
    "members": [{"id": "A1", "ends": ["a", "b"], "area_mm2": 2025, "iy_mm4": 341718.75, "iz_mm4": 341718.75,
                 "j_mm4": 577000, "e_mpa": 10000, "g_mpa": 600, "up": [0, 0, 1]}],
    "supports": [{"node": "a", "fixed": [true, true, false, true, false, true]},
                 {"node": "wall", "fixed": [true, true, true, true, true, true]},
                 {"node": "post", "fixed": [true, true, true, true, true, true]}],
    "contacts": [{"id": 1, "nodes": ["wall", "a"], "at_mm": [0, 0, -25], "normal": [0, 0, 1], "k_n_mm": 900},
                 {"id": 2, "nodes": ["post", "b"], "at_mm": [1000, 0, -25], "normal": [0, 0, 1], "k_n_mm": 900}],
    "loads": [{"node": "b", "force_n": [0, 0, 40]}]})");
  EXPECT_THAT(fault(in), HasSubstr("its load takes it off: node 'b' can move along z"));
}

TEST(FrameJson, EndsMayStandOffTheirNodes) {
  Json in = cantilever();
  in["members"][0]["offsets_mm"] = {{100, 0, 0}, {0, 0, 0}};
  Json out = Json::parse(solve_frame_json(in.dump(), "frame.json").value());
  EXPECT_NEAR(-100 * 0.729e9 / (3 * 10000 * 341718.75), out["displacements"][1]["translation_mm"][2].get<double>(),
              1e-9);
  EXPECT_NEAR(-100000, out["reactions"][0]["moment_nmm"][1].get<double>(), 1e-6);
  in["members"][0]["offsets_mm"] = {{1, 0, 0}};
  EXPECT_THAT(fault(in), HasSubstr("members[0].offsets_mm: is not a pair of lists"));
  in["members"][0]["offsets_mm"] = {{1, 0}, {0, 0, 0}};
  EXPECT_THAT(fault(in), HasSubstr("is not three numbers"));
}

TEST(FrameJson, NamesWhatIsWrong) {
  Json in = cantilever();
  in["members"][0]["ends"][1] = "top";
  EXPECT_THAT(fault(in), HasSubstr("frame.json: error: members[0].ends[1] of 'A1': there is no node 'top'"));
  in = cantilever();
  in["members"][0]["area_mm2"] = -1;
  EXPECT_THAT(fault(in), HasSubstr("area_mm2 of member 'A1' is -1; give a number above zero"));
  in = cantilever();
  in["nodes"][1]["xyz_mm"] = {0, 0, 0};
  EXPECT_THAT(fault(in), HasSubstr("member 'A1' has no length"));
  in = cantilever();
  in["members"][0]["up"] = {2, 0, 0};
  EXPECT_THAT(fault(in), HasSubstr("up of member 'A1' is along the member"));
  in = cantilever();
  in["members"][0]["relases"] = Json::array();
  EXPECT_THAT(fault(in), HasSubstr("members[0]: 'relases' is not a known key"));
  in = cantilever();
  in["loads"][0]["node"] = "nowhere";
  EXPECT_THAT(fault(in), HasSubstr("loads[0].node: there is no node 'nowhere'"));
  in = cantilever();
  in["supports"][0]["fixed"] = {true, true};
  EXPECT_THAT(fault(in), HasSubstr("supports[0].fixed: is not six booleans"));
  in = cantilever();
  in["nodes"].push_back(in["nodes"][0]);
  EXPECT_THAT(fault(in), HasSubstr("nodes[2]: node 'foot' is there twice"));
  in = cantilever();
  in.erase("members");
  EXPECT_THAT(fault(in), HasSubstr("members: is missing"));
  in = cantilever();
  in["supports"] = Json::array();
  EXPECT_THAT(fault(in), HasSubstr("the frame is a mechanism: node"));
}

TEST(FrameJson, BrokenTextHasItsLineAndColumn) {
  const auto out = solve_frame_json("{\n  \"nodes\": [}\n", "frame.json");
  ASSERT_FALSE(out.has_value());
  EXPECT_EQ(
      "frame.json:2:13: error: this is not JSON from here on; look for a missing comma, quote or bracket [bad-json]",
      to_string(out.error()[0]));
}

TEST(FrameJson, NeverThrowsOnCutOrMangledText) {
  const std::string text = cantilever().dump();
  for (std::size_t cut = 0; cut < text.size(); ++cut) {
    EXPECT_FALSE(solve_frame_json(text.substr(0, cut), "f").has_value());
    std::string mangled = text;
    for (char c : {'0', '"', '[', 'n', '\xff'}) {
      mangled[cut] = c;
      (void)solve_frame_json(mangled, "f");
    }
  }
  for (const char* odd : {"[]", "null", "3", "{}", "{\"nodes\":3}", "{\"nodes\":[[]],\"members\":[null]}"})
    EXPECT_FALSE(solve_frame_json(odd, "f").has_value()) << odd;
}

}  // namespace
}  // namespace garthwright::frame
