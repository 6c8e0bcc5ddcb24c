// SPDX-License-Identifier: Apache-2.0
//
// Templates, measured on the print: the PDF is rendered by an independent program (pdftoppm, Debian poppler-utils) at
// 600 dots to the inch, and lines are found again in the picture.
#include <gtest/gtest.h>

#include <cmath>
#include <cstdlib>
#include <fstream>

#include "sheets/sample_plan.h"
#include "sheets/shaped_path.h"
#include "sheets/sheets.h"

namespace garthwright::sheets {
namespace {

constexpr double kDotsPerMm = 600 / 25.4;

struct Picture600 {
  int width = 0, height = 0;
  std::string grey;

  // Middles and widths, in mm, of the dark stretches along a column (or row) of the picture.
  struct Dark {
    double middle, width;
  };
  std::vector<Dark> along(bool down, double at_mm, double from_mm, double to_mm) const {
    std::vector<Dark> out;
    const int fixed = static_cast<int>(at_mm * kDotsPerMm);
    int begin = -1;
    const int last = std::min(static_cast<int>(to_mm * kDotsPerMm), (down ? height : width) - 1);
    for (int i = static_cast<int>(from_mm * kDotsPerMm); i <= last; ++i) {
      const int x = down ? fixed : i, y = down ? i : fixed;
      const bool dark = static_cast<unsigned char>(grey[static_cast<std::size_t>(y) * width + x]) < 128;
      if (dark && begin < 0) begin = i;
      if (!dark && begin >= 0) {
        out.push_back({(begin + i) / 2.0 / kDotsPerMm, (i - begin) / kDotsPerMm});
        begin = -1;
      }
    }
    return out;
  }
};

Picture600 rendered(const Sheet& sheet) {
  const std::string path = testing::TempDir() + "template";
  std::ofstream(path + ".pdf", std::ios::binary) << pdf_bytes({sheet}, {"template", ""});
  Picture600 p;
  if (std::system(("pdftoppm -r 600 -gray -singlefile " + path + ".pdf " + path).c_str()) != 0) return p;
  std::ifstream in(path + ".pgm", std::ios::binary);
  std::string magic;
  int most = 0;
  in >> magic >> p.width >> p.height >> most;
  in.get();
  p.grey.resize(static_cast<std::size_t>(p.width) * p.height);
  in.read(p.grey.data(), static_cast<std::streamsize>(p.grey.size()));
  return p;
}

bool says(const Sheet& sheet, const std::string& start) {
  for (const Text* t : all_text(sheet)) {
    if (t->words.starts_with(start)) return true;
  }
  return false;
}

TEST(Templates, CheckSquaresAreTrueBothWays) {
  const auto sheets = draw_sheets(sample_plan(), {Paper::a4, {"templates"}, false});
  ASSERT_FALSE(sheets.empty());
  const Picture600 page = rendered(sheets[0]);
  ASSERT_GT(page.width, 0) << "pdftoppm is needed (Debian poppler-utils)";
  // The square's place, from the words inside it; what is measured is the print.
  double y = 0;
  for (const Text* t : all_text(sheets[0])) {
    if (t->words == "check squares") y = t->at.y;
  }
  ASSERT_GT(y, 0);
  const auto across = page.along(false, y + 40, 5, 130), down = page.along(true, 30, y - 45, y + 65);
  ASSERT_EQ(across.size(), 3u) << "left side, 100 mm, 4 in";
  ASSERT_EQ(down.size(), 3u);
  for (const auto& lines : {across, down}) {
    EXPECT_NEAR(lines[1].middle - lines[0].middle, 100, 0.2);
    EXPECT_NEAR(lines[2].middle - lines[0].middle, 101.6, 0.2);
  }
}

// The rafter's quarter round: the cutting line on the print against the circle the structure says, within 0.2 mm.
TEST(Templates, CurveOnPaperIsTheModels) {
  const Plan plan = sample_plan();
  const Structure& s = plan.garden.structures[0];
  const auto rafter =
      std::find_if(s.pieces.begin(), s.pieces.end(), [](const Piece& p) { return p.role == Role::rafter; });
  const ShapedEnd* shape = nullptr;
  for (const Machining& m : rafter->machining) {
    const auto* found = std::get_if<ShapedEnd>(&m);
    if (found != nullptr && found->end == End::start) shape = found;
  }
  ASSERT_NE(shape, nullptr);
  const garthwright::Stroke* arc = nullptr;
  for (const auto& stroke : shape->strokes) {
    if (stroke.kind == garthwright::Stroke::Kind::arc) arc = &stroke;
  }
  ASSERT_NE(arc, nullptr) << "a quarter round is an arc";
  // The arc's own circle, seen with the whole edge at y = 0.
  const double width = rafter->width.value();
  const double radius = std::hypot(arc->x - arc->centre_x, arc->y - arc->centre_y);
  const auto y_at = [&](double x) {
    const double off = std::sqrt(radius * radius - (x - arc->centre_x) * (x - arc->centre_x));
    for (const double y : {arc->centre_y + off, arc->centre_y - off}) {
      // The half of the circle that the stroke runs over, turned so that the shape is below.
      const bool low_is_shaped = shape->start_y < width / 2 ? shape->start_x > 1 : arc->y < width / 2;
      const double from_whole = low_is_shaped ? width - y : y;
      if (from_whole >= -0.01 && from_whole <= width + 0.01) return from_whole;
    }
    return -1.0;
  };

  const auto sheets = draw_sheets(plan, {Paper::a4, {"templates"}, false});
  const auto tile = std::find_if(sheets.begin(), sheets.end(), [&](const Sheet& sheet) {
    return says(sheet, rafter->mark + "  rafter") && !says(sheet, "check squares");
  });
  ASSERT_NE(tile, sheets.end());
  const Picture600 page = rendered(*tile);
  ASSERT_GT(page.width, 0);
  const double top = page.along(true, 70, 20, 40).front().middle;       // the whole edge
  const double tip = page.along(false, top + 6, 5, 40).front().middle;  // the tip, in the nose
  int measured = 0;
  for (double x = 8; x < radius - 8; x += 4) {
    const double expected = y_at(x);
    ASSERT_GT(expected, 0);
    for (const auto& dark : page.along(true, tip + x, top + 3, top + width - 1)) {
      if (dark.width < 0.55) continue;  // hatching and thin lines
      EXPECT_NEAR(dark.middle - top, expected, 0.2) << "at " << x << " mm from the tip";
      ++measured;
      break;
    }
  }
  EXPECT_GT(measured, 8);
}

// A free curve of cubics keeps to its exact points (de Casteljau, worked here) within the tolerance.
TEST(ShapedPath, StaysWithinItsTolerance) {
  ShapedEnd shape;
  shape.start_x = 90;
  garthwright::Stroke cubic;
  cubic.kind = garthwright::Stroke::Kind::cubic;
  cubic.c1x = 90, cubic.c1y = 60, cubic.c2x = 20, cubic.c2y = 10, cubic.x = 0, cubic.y = 70;
  shape.strokes = {cubic};
  const Outline points = points_of(shape, 0.02);
  for (double t = 0; t <= 1; t += 0.003) {
    const auto mix = [t](Point a, Point b) { return (1 - t) * a + t * b; };
    const Point a = mix({90, 0}, {90, 60}), b = mix({90, 60}, {20, 10}), c = mix({20, 10}, {0, 70});
    const Point exact = mix(mix(a, b), mix(b, c));
    double nearest = 1e9;
    for (std::size_t i = 0; i + 1 < points.size(); ++i) {
      const Point d = points[i + 1] - points[i], e = exact - points[i];
      const double along = std::clamp((e.x * d.x + e.y * d.y) / (d.x * d.x + d.y * d.y), 0.0, 1.0);
      nearest = std::min(nearest, std::hypot(e.x - along * d.x, e.y - along * d.y));
    }
    EXPECT_LT(nearest, 0.02);
  }
}

TEST(ShapedPath, IsClippedToABox) {
  const auto runs = clipped({{-5, 5}, {5, 5}, {5, 15}, {8, 15}, {8, 5}, {20, 5}}, {0, 0, 10, 10});
  ASSERT_EQ(runs.size(), 2u);
  EXPECT_EQ(runs[0], (Outline{{0, 5}, {5, 5}, {5, 10}}));
  EXPECT_EQ(runs[1], (Outline{{8, 10}, {8, 5}, {10, 5}}));
}

}  // namespace
}  // namespace garthwright::sheets
