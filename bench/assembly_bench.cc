// SPDX-License-Identifier: Apache-2.0
//
// Tables of what blocks what, against FCL (Flexible Collision Library 0.7, with libccd) answering the same questions,
// and how tables and whole build orders grow with the number of pieces. One core. Numbers are the least of a few runs.
//
// bench-links: fcl

#include <benchmark/benchmark.h>
#include <fcl/fcl.h>

#include <cmath>
#include <memory>
#include <random>

#include "assembly/blocking.h"
#include "assembly/planner.h"
#include "assembly/verifier.h"

namespace {

using namespace garthwright::assembly;
using garthwright::ConvexPart;
using garthwright::Vec3;

double uniform(std::mt19937& engine, double lo, double hi) { return lo + (hi - lo) * (engine() / 4294967296.0); }

/// Sticks of five boxes strewn in a volume that grows with their number, one in five raked. Invented.
Assembly strewn(int pieces) {
  std::mt19937 engine(42);
  Assembly a;
  const double side = 400 * std::cbrt(pieces);
  for (int i = 0; i < pieces; ++i) {
    Piece piece;
    piece.id = "p" + std::to_string(i);
    const Vec3 at{uniform(engine, 0, side), uniform(engine, 0, side), uniform(engine, 0, side)};
    const bool raked = i % 5 == 0;
    const double angle = raked ? uniform(engine, 0.2, 1.3) : 0;
    const int axis = static_cast<int>(engine() % 3);
    const double c = std::cos(angle), s = std::sin(angle);
    Vec3 u, v, w;
    u[axis] = c, u[(axis + 1) % 3] = s;
    v[axis] = -s, v[(axis + 1) % 3] = c;
    w[(axis + 2) % 3] = 1;
    for (int k = 0; k < 5; ++k) {
      const Vec3 corner = at + (300.0 * k) * u;
      piece.parts.push_back(*make_oblique_box(corner, {300 * u, (k % 2 ? 90 : 60) * v, 45 * w}));
    }
    a.pieces.push_back(piece);
  }
  return a;
}

/// Twenty lines, forty ways: axes, diagonals and slopes between.
Ways forty_ways() {
  Ways ways = diagonal_ways();
  for (int k = 1; ways.size() < 40; ++k) add_way(ways, {1.0 * k, 3, -1.0 * (k % 3)});
  return ways;
}

/// A pergola roof by layers, each notched over the one below: 4 posts, 2 beams, then rafters, then battens.
Assembly pergola(int pieces) {
  Assembly a;
  a.site.ground = true;
  const int rafters = (pieces - 6) / 2, battens = pieces - 6 - rafters;
  const double length = 100.0 * rafters + 200, depth = 100.0 * battens + 200;
  const auto add = [&](const std::string& id, std::vector<ConvexPart> parts, bool fixed) {
    Piece p;
    p.id = id;
    p.parts = std::move(parts);
    p.fixed = fixed;
    a.pieces.push_back(p);
  };
  const auto box = [](double x0, double y0, double z0, double x1, double y1, double z1) {
    return *make_box({x0, y0, z0}, {x1, y1, z1});
  };
  for (double x : {0.0, length - 90}) {
    for (double y : {0.0, depth - 90}) {
      add("post" + std::to_string(a.pieces.size()), {box(x, y, 0, x + 90, y + 90, 2100)}, true);
    }
  }
  for (double y : {0.0, depth - 90})
    add("beam" + std::to_string(y > 0), {box(0, y, 2100, length, y + 45, 2250)}, false);
  for (int i = 0; i < rafters; ++i) {
    const double x = 100 + 100.0 * i;
    add("rafter" + std::to_string(i),
        {box(x, -100, 2250, x + 45, depth + 100, 2370), box(x, -100, 2220, x + 45, 0, 2250),
         box(x, 45, 2220, x + 45, depth - 90, 2250), box(x, depth - 45, 2220, x + 45, depth + 100, 2250)},
        false);
  }
  for (int j = 0; j < battens; ++j) {
    const double y = 100 + 100.0 * j;
    add("batten" + std::to_string(j), {box(0, y, 2370, length, y + 45, 2415)}, false);
    a.fasteners.push_back(
        {"screw" + std::to_string(j), {6, 6 + rafters + j}, {{{120, y + 22, 2415}, {0, 0, 1}, 20, 250}}});
  }
  return a;
}

void tables(benchmark::State& state) {
  const Assembly a = strewn(static_cast<int>(state.range(0)));
  const Ways ways = forty_ways();
  for (auto _ : state) benchmark::DoNotOptimize(Blocking(a, ways));
  state.SetComplexityN(state.range(0));
  state.counters["ways"] = static_cast<double>(ways.size());
}
BENCHMARK(tables)
    ->Arg(20)
    ->Arg(50)
    ->Arg(100)
    ->Arg(200)
    ->Arg(300)
    ->Unit(benchmark::kMillisecond)
    ->Complexity(benchmark::oNSquared);

void plans(benchmark::State& state) {
  const Assembly a = pergola(static_cast<int>(state.range(0)));
  for (auto _ : state) benchmark::DoNotOptimize(plan_assembly(a));
  const PlanResult result = plan_assembly(a);
  if (!result.buildable || !verify(a, result.plan).accepted()) state.SkipWithError("no right plan");
  state.SetComplexityN(state.range(0));
}
BENCHMARK(plans)->Arg(20)->Arg(50)->Arg(100)->Arg(200)->Arg(300)->Unit(benchmark::kMillisecond)->Complexity();

void verifying(benchmark::State& state) {
  const Assembly a = pergola(static_cast<int>(state.range(0)));
  const Plan plan = plan_assembly(a).plan;
  for (auto _ : state) benchmark::DoNotOptimize(verify(a, plan));
  state.SetComplexityN(state.range(0));
}
BENCHMARK(verifying)->Arg(20)->Arg(100)->Arg(300)->Unit(benchmark::kMillisecond)->Complexity();

// --- the same table by FCL
// ------------------------------------------------------------------------------------------------

constexpr double kFar = 50000;  // mm; a sweep of finite length stands for one without end

std::shared_ptr<fcl::Convexd> convex(const ConvexPart& part) {
  auto vertices = std::make_shared<std::vector<fcl::Vector3d>>();
  for (const Vec3& v : part.vertices) vertices->push_back({v.x, v.y, v.z});
  auto faces = std::make_shared<std::vector<int>>();
  for (const auto& loop : part.faces) {
    faces->push_back(static_cast<int>(loop.size()));
    faces->insert(faces->end(), loop.begin(), loop.end());
  }
  return std::make_shared<fcl::Convexd>(vertices, static_cast<int>(part.faces.size()), faces);
}

/// The volume a part sweeps, as one convex solid. Making them is not counted against FCL.
ConvexPart swept(const ConvexPart& part, Vec3 way) {
  std::vector<Vec3> points = part.vertices;
  for (const Vec3& v : part.vertices) points.push_back(v + (kFar / norm(way)) * way);
  return *make_hull(points);
}

void tables_by_fcl(benchmark::State& state) {
  const Assembly a = strewn(static_cast<int>(state.range(0)));
  const Ways ways = forty_ways();
  const int n = static_cast<int>(a.pieces.size());
  using Object = std::unique_ptr<fcl::CollisionObjectd>;
  std::vector<std::vector<Object>> still(n);
  std::vector<std::vector<std::vector<Object>>> moving(ways.size());
  const auto object = [](const ConvexPart& part) {
    auto o = std::make_unique<fcl::CollisionObjectd>(convex(part));
    o->computeAABB();
    return o;
  };
  for (int i = 0; i < n; ++i) {
    for (const ConvexPart& part : a.pieces[i].parts) still[i].push_back(object(part));
  }
  for (std::size_t w = 0; w < ways.size(); ++w) {
    moving[w].resize(n);
    for (int i = 0; i < n; ++i) {
      for (const ConvexPart& part : a.pieces[i].parts) moving[w][i].push_back(object(swept(part, ways[w])));
    }
  }
  const fcl::CollisionRequestd request;
  std::vector<char> hit(ways.size() * n * n);
  for (auto _ : state) {
    std::fill(hit.begin(), hit.end(), 0);
    for (std::size_t w = 0; w < ways.size(); ++w) {
      for (int i = 0; i < n; ++i) {
        for (int j = 0; j < n; ++j) {
          if (i == j) continue;
          char& h = hit[(w * n + i) * n + j];
          for (const Object& m : moving[w][i]) {
            for (const Object& s : still[j]) {
              if (h || !m->getAABB().overlap(s->getAABB())) continue;
              fcl::CollisionResultd result;
              h = fcl::collide(m.get(), s.get(), request, result) > 0;
            }
          }
        }
      }
    }
  }
  const Blocking ours(a, ways);
  long different = 0;
  for (std::size_t w = 0; w < ways.size(); ++w) {
    for (int i = 0; i < n; ++i) {
      for (int j = 0; j < n; ++j)
        different += i != j && ours.hit(static_cast<int>(w), i).has(j) != (hit[(w * n + i) * n + j] != 0);
    }
  }
  state.counters["answers"] = static_cast<double>(hit.size() - ways.size() * n);
  state.counters["different"] = static_cast<double>(different);
}
BENCHMARK(tables_by_fcl)->Arg(20)->Arg(50)->Unit(benchmark::kMillisecond)->Iterations(1);

}  // namespace

BENCHMARK_MAIN();
