// SPDX-License-Identifier: Apache-2.0
#include "pattern/read_garden.h"

#include <fmt/format.h>

#include <cmath>
#include <optional>

#include "base/length.h"

namespace garthwright::pattern {
namespace {

constexpr double kGarden = 1e6;      // mm: no garden is larger
constexpr double kSteepest = 20000;  // mm of fall over a garden
constexpr std::size_t kMostPoints = 60;

std::optional<double> length_of(const toml::node& node) {
  if (node.is_integer() || node.is_floating_point()) {
    const std::optional<double> number = node.value<double>();
    return number && std::isfinite(*number) ? number : std::nullopt;
  }
  const auto* text = node.as_string();
  if (text == nullptr) return std::nullopt;
  const Result<double> length = parse_length(text->get());
  return length ? std::optional(*length) : std::nullopt;
}

/// A list of lengths, as many as wanted.
std::optional<std::vector<double>> lengths_of(const toml::node& node, std::size_t wanted) {
  const toml::array* list = node.as_array();
  if (list == nullptr || list->size() != wanted) return std::nullopt;
  std::vector<double> lengths;
  for (const toml::node& item : *list) {
    const std::optional<double> length = length_of(item);
    if (!length || std::abs(*length) > kGarden) return std::nullopt;
    lengths.push_back(*length);
  }
  return lengths;
}

/// A list of such lists; a problem and none where it is not.
std::vector<std::vector<double>> rows_of(TableReader& table, std::string_view key, std::size_t wanted,
                                         const std::string& example) {
  const toml::node* node = table.node(key, Need::required);
  if (node == nullptr) return {};
  const toml::array* list = node->as_array();
  std::vector<std::vector<double>> rows;
  if (list != nullptr && list->size() <= kMostPoints)
    for (const toml::node& item : *list)
      if (const auto row = lengths_of(item, wanted)) rows.push_back(*row);
  if (list != nullptr && list->size() > kMostPoints)
    table.problem(key, "too-many", fmt::format("{} of {} has {} entries", key, table.called(), list->size()),
                  fmt::format("give at most {}", kMostPoints));
  else if (list == nullptr || rows.size() != list->size() || rows.empty())
    table.problem(key, "wrong-type",
                  fmt::format("{} of {} should be a list of lists of {} lengths", key, table.called(), wanted),
                  "write " + std::string(key) + " = " + example);
  else
    return rows;
  return {};
}

std::string at_words(double x, double y) { return fmt::format("ground at [{:g}, {:g}]", x, y); }

/// Two levels for one place cannot both be right.
Ground of_points(TableReader& table, std::string_view key, std::vector<GroundPoint> points) {
  for (std::size_t i = 0; i < points.size(); ++i)
    for (std::size_t j = 0; j < i; ++j)
      if (std::hypot(points[i].x - points[j].x, points[i].y - points[j].y) < 1) {
        table.problem(key, "same-place", fmt::format("{} is given twice", points[i].called), "give each place once");
        return {};
      }
  for (const GroundPoint& p : points)
    if (std::abs(p.level) > kSteepest) {
      table.problem(key, "out-of-range", fmt::format("{} is {:g}", p.called, p.level),
                    fmt::format("give levels within {:g} m", kSteepest / 1000));
      return {};
    }
  return Ground(std::move(points));
}

Ground read_points(TableReader& ground) {
  std::vector<GroundPoint> points;
  for (const auto& row : rows_of(ground, "points", 3, "[[0, 0, 0], [3600, 0, -150]]"))
    points.push_back({row[0], row[1], row[2], at_words(row[0], row[1])});
  return of_points(ground, "points", std::move(points));
}

std::optional<std::vector<double>> place_of_line(TableReader& line, std::string_view key) {
  const toml::node* node = line.node(key, Need::required);
  if (node == nullptr) return std::nullopt;
  auto place = lengths_of(*node, 2);
  if (!place)
    line.problem(key, "wrong-type", fmt::format("{} of the line should be two lengths", key),
                 fmt::format("write {} = [0, 0]", key));
  return place;
}

Ground read_line(TableReader& ground) {
  TableReader line = ground.table("line");
  line.call("the line");
  const auto from = place_of_line(line, "from"), to = place_of_line(line, "to");
  const auto rows = rows_of(line, "levels", 2, "[[0, 0], [3000, -175]]");
  line.finish();
  if (!from || !to || rows.empty()) return {};
  const double dx = (*to)[0] - (*from)[0], dy = (*to)[1] - (*from)[1], length = std::hypot(dx, dy);
  if (length < 1) {
    ground.problem("line", "no-line", "the line begins and ends at one place", "give two places");
    return {};
  }
  std::vector<GroundPoint> points;
  for (const auto& row : rows)
    points.push_back({(*from)[0] + row[0] * dx / length, (*from)[1] + row[0] * dy / length, row[1],
                      fmt::format("ground {:g} along the line", row[0])});
  return of_points(ground, "line", std::move(points));
}

/// Levels off a staff: the backsight is read where the level is 0; what is read higher up the staff stands lower.
Ground read_staff(TableReader& ground) {
  TableReader staff = ground.table("staff");
  staff.call("the staff");
  const std::optional<double> backsight = staff.length("backsight", {0, kSteepest}, Need::required);
  const auto places = rows_of(staff, "at", 2, "[[0, 0], [3000, 0]]");
  const toml::node* node = staff.node("readings", Need::required);
  std::optional<std::vector<double>> readings;
  if (node != nullptr && !places.empty()) {
    readings = lengths_of(*node, places.size());
    if (!readings)
      staff.problem("readings", "wrong-type",
                    fmt::format("the staff has {} places and needs as many readings", places.size()),
                    "write readings = [1215, 1390]");
  }
  staff.finish();
  if (!backsight || !readings) return {};
  std::vector<GroundPoint> points;
  for (std::size_t i = 0; i < places.size(); ++i)
    points.push_back({places[i][0], places[i][1], *backsight - (*readings)[i], at_words(places[i][0], places[i][1])});
  return of_points(ground, "staff", std::move(points));
}

/// Falls towards `way`.
Ground read_slope(TableReader& ground) {
  TableReader slope = ground.table("slope");
  slope.call("the slope");
  const auto way = slope.one_of("way", {"right", "left", "back", "front"}, Need::required);
  const auto percent = slope.number("percent", {0, 100}, Need::required);
  slope.finish();
  if (!way || !percent) return {};
  constexpr double kWays[4][2] = {{1, 0}, {-1, 0}, {0, 1}, {0, -1}};
  return Ground::slope(kWays[*way][0], kWays[*way][1], -*percent);
}

}  // namespace

Ground read_ground(TableReader& job) {
  if (!job.has("ground")) return {};
  TableReader ground = job.table("ground");
  ground.call("the ground");
  Ground levels;
  int ways = 0;
  const auto by = [&](std::string_view key, Ground (*read)(TableReader&)) {
    if (!ground.has(key)) return;
    ++ways;
    levels = read(ground);
  };
  by("points", read_points);
  by("line", read_line);
  by("staff", read_staff);
  by("slope", read_slope);
  if (ways != 1)
    job.problem("ground", "bad-ground", fmt::format("the ground is measured in {} ways", ways),
                "give one of points, line, staff and slope");
  ground.finish();
  return levels;
}

std::vector<Existing> read_existing(TableReader& job) {
  static const std::vector<std::string> kKinds{"post", "tree", "shed", "wall"};
  std::vector<Existing> all;
  for (TableReader& table : job.tables("existing")) {
    table.call("what exists");
    Existing thing;
    const auto kind = table.one_of("kind", kKinds, Need::required);
    if (kind) thing.kind = static_cast<Existing::Kind>(*kind);
    thing.name = table.text("name").value_or(kind ? kKinds[static_cast<std::size_t>(*kind)] : "");
    table.call("the " + thing.name);
    if (const toml::node* at = table.node("at", Need::required)) {
      if (const auto place = lengths_of(*at, 2))
        thing.at = {(*place)[0], (*place)[1], 0};
      else
        table.problem("at", "wrong-type", "at should be two lengths", "write at = [2000, 0]");
    }
    const Range size{10, 50000};
    if (thing.kind == Existing::Kind::tree) {
      thing.width = thing.depth = table.length("diameter", size, Need::required).value_or(0);
    } else {
      thing.turn_deg = table.number("turn", {-360, 360}).value_or(0);
      thing.width = table.length("width", size, Need::required).value_or(0);
      thing.depth = table.length("depth", size, Need::required).value_or(0);
    }
    thing.height = table.length("height", size).value_or(3000);
    table.finish();
    all.push_back(std::move(thing));
  }
  return all;
}

}  // namespace garthwright::pattern
