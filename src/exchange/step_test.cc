// SPDX-License-Identifier: Apache-2.0
#include "exchange/step.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <BRepGProp.hxx>
#include <GProp_GProps.hxx>
#include <Quantity_Color.hxx>
#include <STEPCAFControl_Reader.hxx>
#include <STEPControl_Reader.hxx>
#include <TDF_LabelSequence.hxx>
#include <TDocStd_Document.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS_Shape.hxx>
#include <XCAFApp_Application.hxx>
#include <XCAFDoc_ColorTool.hxx>
#include <XCAFDoc_DocumentTool.hxx>
#include <XCAFDoc_ShapeTool.hxx>
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

// Read back by the kernel's own reader of whole documents: every part has its kind's colour, groups are assemblies.
TEST(Step, HasColoursGroupsAndTheJobsNameAndDay) {
  Structure s = turned_stand();
  s.pieces[0].group = s.pieces[1].group = "posts";
  const solid::Solids solids(s);
  const std::string bytes = step_bytes({{&s, &solids}}, {"Orchard stand", "2031-04-09", {}}).value();
  EXPECT_THAT(bytes.substr(0, 800), testing::HasSubstr("'Orchard stand','2031-04-09T00:00:00'"));
  EXPECT_THAT(bytes, testing::HasSubstr("PRODUCT('posts'"));
  const std::string path = testing::TempDir() + "coloured.step";
  std::ofstream(path, std::ios::binary) << bytes;
  Handle(TDocStd_Document) document;
  XCAFApp_Application::GetApplication()->NewDocument("MDTV-XCAF", document);
  STEPCAFControl_Reader reader;
  reader.SetColorMode(true);
  ASSERT_EQ(reader.ReadFile(path.c_str()), IFSelect_RetDone);
  ASSERT_TRUE(reader.Transfer(document));
  std::remove(path.c_str());
  const Handle(XCAFDoc_ShapeTool) shapes = XCAFDoc_DocumentTool::ShapeTool(document->Main());
  const Handle(XCAFDoc_ColorTool) colours = XCAFDoc_DocumentTool::ColorTool(document->Main());
  TDF_LabelSequence all;
  shapes->GetShapes(all);
  std::size_t parts = 0;
  for (const TDF_Label& label : all) {
    if (!XCAFDoc_ShapeTool::IsSimpleShape(label) || !shapes->IsTopLevel(label)) continue;
    if (!TopExp_Explorer(XCAFDoc_ShapeTool::GetShape(label), TopAbs_SOLID).More()) continue;
    Quantity_Color tone;
    EXPECT_TRUE(colours->GetColor(label, XCAFDoc_ColorSurf, tone) || colours->GetColor(label, XCAFDoc_ColorGen, tone));
    EXPECT_GT(tone.Red(), tone.Blue()) << "timber is brown";
    ++parts;
  }
  EXPECT_EQ(parts, marks(s).size() + s.panels.size());
  XCAFApp_Application::GetApplication()->Close(document);
}

TEST(Step, OnePieceByItselfLiesInItsOwnCoordinates) {
  const Structure s = turned_stand();
  const solid::Solids solids(s);
  const std::string bytes = step_bytes({{&s, &solids}}, {"A1 post", "", body(PieceId{0})}).value();
  const std::string path = testing::TempDir() + "alone.step";
  std::ofstream(path, std::ios::binary) << bytes;
  STEPControl_Reader reader;
  ASSERT_EQ(reader.ReadFile(path.c_str()), IFSelect_RetDone);
  reader.TransferRoots();
  std::remove(path.c_str());
  GProp_GProps props;
  BRepGProp::VolumeProperties(reader.OneShape(), props);
  const solid::Measures own = solids.measures(body(PieceId{0}));
  EXPECT_NEAR(props.Mass(), own.volume_mm3, 1e-6 * own.volume_mm3);
  EXPECT_NEAR(props.CentreOfMass().X(), own.centre.x, 0.001);
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
