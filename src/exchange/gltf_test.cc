// SPDX-License-Identifier: Apache-2.0
#include "exchange/gltf.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "base/source_dir_for_tests.h"
#include "exchange/model_bodies.h"
#include "solid/example_stand.h"

namespace garthwright::exchange {
namespace {

std::uint32_t word(const std::string& bytes, std::size_t at) {
  std::uint32_t v = 0;
  std::memcpy(&v, bytes.data() + at, 4);
  return v;
}

nlohmann::json document(const std::string& bytes) { return nlohmann::json::parse(bytes.substr(20, word(bytes, 12))); }

TEST(Gltf, OneMeshForEachMarkOneNodeForEachPiece) {
  const Structure s = solid::example::stand();
  const solid::Solids solids(s);
  const std::string bytes = glb_bytes({{&s, &solids}});
  EXPECT_EQ(word(bytes, 8), bytes.size());
  const auto json = document(bytes);
  EXPECT_EQ(json["meshes"].size(), 6U);         // five marks and the panel
  EXPECT_EQ(json["nodes"].size(), 2 + 9 + 1U);  // garden, stand, pieces, panel
  std::vector<std::string> names;
  for (const auto& node : json["nodes"]) names.push_back(node["name"]);
  EXPECT_THAT(names, testing::IsSupersetOf({"garden", "stand", "A1 left post", "D1 rafter 3", "panel trellis"}));
}

// The triangles of the post's mesh enclose its volume, in cubic metres.
TEST(Gltf, MetresAndOutwardTriangles) {
  const Structure s = solid::example::stand();
  const solid::Solids solids(s);
  const std::string bytes = glb_bytes({{&s, &solids}});
  const auto json = document(bytes);
  const std::size_t buffer = 20 + word(bytes, 12) + 8;
  const auto& primitive = json["meshes"][0]["primitives"][0];
  const auto start = [&](std::size_t accessor) {
    return buffer + json["bufferViews"][json["accessors"][accessor]["bufferView"].get<std::size_t>()]["byteOffset"]
                        .get<std::size_t>();
  };
  const std::size_t positions = start(primitive["attributes"]["POSITION"]), indices = start(primitive["indices"]);
  const auto point = [&](std::uint32_t index) {
    float v[3];
    std::memcpy(v, bytes.data() + positions + 12 * index, 12);
    return Vec3{v[0], v[1], v[2]};
  };
  double six = 0;
  const std::size_t count = json["accessors"][primitive["indices"].get<std::size_t>()]["count"];
  for (std::size_t k = 0; k < count; k += 3) {
    six += dot(point(word(bytes, indices + 4 * k)),
               cross(point(word(bytes, indices + 4 * k + 4)), point(word(bytes, indices + 4 * k + 8))));
  }
  EXPECT_NEAR(six / 6, 2.4 * 0.12 * 0.045, 1e-8);
}

TEST(Gltf, SameInputSameBytes) {
  const Structure s = solid::example::stand();
  const solid::Solids one(s), other(s);
  EXPECT_EQ(glb_bytes({{&s, &one}}), glb_bytes({{&s, &other}}));
}

TEST(Gltf, NoTimberIsStillAFile) {
  const Structure empty;
  const solid::Solids solids(empty);
  EXPECT_FALSE(document(glb_bytes({{&empty, &solids}})).contains("meshes"));
}

// Khronos' own validator (npm gltf-validator) on two structures side by side, one of them turned.
TEST(Gltf, PassesTheKhronosValidator) {
  const std::filesystem::path tools = std::filesystem::path(source_dir()) / "tests" / "tools";
  ASSERT_TRUE(std::filesystem::exists(tools / "node_modules" / "gltf-validator")) << "run npm ci in tests/tools";
  const Structure s = solid::example::stand();
  Structure turned = solid::example::stand(1);
  turned.at = {4000, 100, 0};
  turned.turn_deg = 37;
  const solid::Solids solids(s), turned_solids(turned);
  const std::string path = testing::TempDir() + "validated.glb";
  std::ofstream(path, std::ios::binary) << glb_bytes({{&s, &solids}, {&turned, &turned_solids}});
  const std::string command = "node '" + (tools / "validate_gltf.mjs").string() + "' '" + path + "'";
  EXPECT_EQ(std::system(command.c_str()), 0);
  std::filesystem::remove(path);
}

/// Posts and rail first, then all else, one after the other from above.
std::vector<sequence::Stage> two_stages(const Structure& s) {
  std::vector<sequence::Stage> stages(2);
  for (const Body body : solid_bodies(s)) {
    const bool first = body.kind == Body::Kind::piece && s[PieceId{body.index}].role == Role::post;
    stages[first ? 0 : 1].motions.push_back({{body}, sequence::kSite, {0, 0, -1}});
  }
  return stages;
}

TEST(Gltf, TellsMarkLengthAndGroupOfEveryPiece) {
  Structure s = solid::example::stand();
  s.pieces[0].group = s.pieces[1].group = "posts";
  const solid::Solids solids(s);
  const auto json = document(glb_bytes({{&s, &solids}}));
  int marked = 0, groups = 0;
  for (const auto& node : json["nodes"]) {
    if (node["name"] == "posts") {
      ++groups;
      EXPECT_EQ(node["children"].size(), 2U);
    }
    if (node.contains("extras") && node["extras"].contains("mark")) {
      ++marked;
      EXPECT_GT(node["extras"]["length_mm"], 0);
    }
  }
  EXPECT_EQ(groups, 1);
  EXPECT_EQ(marked, static_cast<int>(s.pieces.size()));
}

// three.js (npm three, the page's) plays what the Khronos validator has passed.
TEST(Gltf, TheOrderOfWorkPlaysInThreeJs) {
  const std::filesystem::path tools = std::filesystem::path(source_dir()) / "tests" / "tools";
  Structure s = solid::example::stand();
  s.turn_deg = 37;
  const solid::Solids solids(s);
  const std::vector<sequence::Stage> stages = two_stages(s);
  const std::string path = testing::TempDir() + "played.glb";
  std::ofstream(path, std::ios::binary) << glb_bytes({{&s, &solids, &stages}});
  const std::string validate = "node '" + (tools / "validate_gltf.mjs").string() + "' '" + path + "'";
  EXPECT_EQ(std::system(validate.c_str()), 0);
  const std::string play =
      "node '" + (tools / "play_gltf.mjs").string() + "' '" + path + "' " + std::to_string(solid_bodies(s).size());
  EXPECT_EQ(std::system(play.c_str()), 0);
  std::filesystem::remove(path);
}

}  // namespace
}  // namespace garthwright::exchange
