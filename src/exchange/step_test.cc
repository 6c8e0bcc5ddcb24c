// SPDX-License-Identifier: Apache-2.0
#include "exchange/step.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <BRepGProp.hxx>
#include <GProp_GProps.hxx>
#include <STEPControl_Reader.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS_Shape.hxx>
#include <cstdio>
#include <fstream>

#include "exchange/model_bodies.h"
#include "solid/example_stand.h"
#include "structure/garden_frame.h"
#include "structure/marks.h"

namespace garthwright::exchange {
namespace {

Structure turned_stand() {
  Structure s = solid::example::stand();
  s.at = {3000, -500, 0};
  s.turn_deg = 30;
  s.pieces[0].where = "left";
  return s;
}

TEST(Step, ReadBackEverySolidIsWhereItWasAndAsLarge) {
  const Structure s = turned_stand();
  const solid::Solids solids(s);
  const auto bytes = step_bytes({{&s, &solids}});
  ASSERT_TRUE(bytes);
  const std::string path = testing::TempDir() + "read_back.step";
  std::ofstream(path, std::ios::binary) << *bytes;
  STEPControl_Reader reader;
  ASSERT_EQ(reader.ReadFile(path.c_str()), IFSelect_RetDone);
  reader.TransferRoots();
  const TopoDS_Shape all = reader.OneShape();
  std::remove(path.c_str());

  std::vector<solid::Measures> read;
  for (TopExp_Explorer one(all, TopAbs_SOLID); one.More(); one.Next()) {
    GProp_GProps props;
    BRepGProp::VolumeProperties(one.Current(), props);
    const gp_Pnt c = props.CentreOfMass();
    read.push_back({props.Mass(), {c.X(), c.Y(), c.Z()}});
  }
  const auto bodies = solid_bodies(s);
  ASSERT_EQ(read.size(), bodies.size());
  for (Body body : bodies) {
    const solid::Measures own = solids.measures(body);
    const Vec3 centre = garden_frame(s).to_world(frame_of(s, body).to_world(own.centre));
    EXPECT_THAT(read, testing::Contains(testing::Truly([&](const solid::Measures& m) {
                  return std::abs(m.volume_mm3 - own.volume_mm3) < 1e-6 * own.volume_mm3 &&
                         norm(m.centre - centre) < 0.001;
                })))
        << describe(s, body);
  }
}

TEST(Step, OneProductForEachMarkAndNamesForEachPlace) {
  const Structure s = turned_stand();
  const solid::Solids solids(s);
  const std::string bytes = step_bytes({{&s, &solids}}).value();
  const auto count = [&](const std::string& words) {
    std::size_t n = 0;
    for (std::size_t at = bytes.find(words); at != std::string::npos; at = bytes.find(words, at + 1)) ++n;
    return n;
  };
  EXPECT_EQ(count("PRODUCT('A1 post'") + count("PRODUCT('A1 left post'"), 1U);
  EXPECT_EQ(count("MANIFOLD_SOLID_BREP("), marks(s).size() + s.panels.size());
  EXPECT_GE(count("'A1 left left post'"), 1U);
  EXPECT_GE(count("'A1 right post'"), 1U);
}

TEST(Step, SameInputSameBytesAndNoClock) {
  const Structure s = turned_stand();
  const solid::Solids one(s), other(s);
  const std::string first = step_bytes({{&s, &one}}).value();
  EXPECT_EQ(first, step_bytes({{&s, &other}}).value());
  EXPECT_THAT(first.substr(0, 800), testing::HasSubstr("1970-01-01T00:00:00"));
}

TEST(Step, WritesNothingToStandardOutput) {
  const Structure s = turned_stand();
  const solid::Solids solids(s);
  testing::internal::CaptureStdout();
  (void)step_bytes({{&s, &solids}});
  EXPECT_EQ(testing::internal::GetCapturedStdout(), "");
}

TEST(Step, NothingToWriteIsAnError) {
  const Structure empty;
  const solid::Solids solids(empty);
  const auto bytes = step_bytes({{&empty, &solids}});
  ASSERT_FALSE(bytes);
  EXPECT_EQ(bytes.error().front().code, "no-step");
}

}  // namespace
}  // namespace garthwright::exchange
