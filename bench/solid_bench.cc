// SPDX-License-Identifier: Apache-2.0
// bench-links: gw_pattern TKHLR TKBO TKTopAlgo TKBRep TKPrim TKMath TKernel
//
// What the solids of a structure cost, and beside each step the same question put to Open CASCADE's general algorithms.
//   all/…         shapes, measures, contacts and clashes of a structure from nothing, as a plan asks for them
//   growth/…      the same for a stand of more and more rafters; also as µs for each piece
//   volume/…      one notched beam with shaped ends: by its outline; by the kernel's booleans and surface integrals
//   meet/…        contacts and clashes: convex parts; the kernel's distance and common solid of every near pair
//   view/…        one isometric hidden-line drawing: ours; the kernel's exact one
//   mesh, step sizes stand in the counters.
#include <benchmark/benchmark.h>

#include <BRepAlgoAPI_Common.hxx>
#include <BRepAlgoAPI_Cut.hxx>
#include <BRepExtrema_DistShapeShape.hxx>
#include <BRepPrimAPI_MakeBox.hxx>
#include <HLRAlgo_Projector.hxx>
#include <HLRBRep_Algo.hxx>
#include <HLRBRep_HLRToShape.hxx>
#include <Standard_Failure.hxx>
#include <TopTools_ListOfShape.hxx>
#include <TopoDS_Shape.hxx>
#include <fstream>
#include <gp_Ax2.hxx>
#include <sstream>

#include "pattern/job.h"
#include "solid/closed_form.h"
#include "solid/example_stand.h"
#include "solid/kernel.h"
#include "solid/machined.h"
#include "solid/solid.h"

namespace {

using namespace garthwright;
using namespace garthwright::solid;

std::vector<Body> bodies(const Structure& s) {
  std::vector<Body> all;
  for (int i = 0; i < static_cast<int>(s.pieces.size()); ++i) all.push_back(body(PieceId{i}));
  for (int i = 0; i < static_cast<int>(s.panels.size()); ++i) all.push_back(body(PanelId{i}));
  return all;
}

const Structure& arbor() {
  static const Structure built = [] {
    const std::string root = GARTHWRIGHT_SOURCE_DIR;
    const pattern::Shelves shelves{{root + "/patterns"}, {root + "/catalogues"}};
    std::stringstream text;
    text << std::ifstream(root + "/examples/arbor.toml").rdbuf();
    const auto job = pattern::parse_job(text.str(), "examples/arbor.toml", shelves);
    if (!job) throw std::runtime_error(to_string(job.error().front()));
    int next = 0;
    auto made = pattern::build(*job, job->orders.front(), shelves, 0, next);
    if (!made) throw std::runtime_error(to_string(made.error().front()));
    return std::move(made->structure);
  }();
  return built;
}

void everything(const Structure& s, bool shapes) {
  const Solids solids(s);
  for (Body b : bodies(s)) {
    benchmark::DoNotOptimize(solids.measures(b));
    if (shapes) benchmark::DoNotOptimize(&solids.shape(b));
  }
  benchmark::DoNotOptimize(solids.contacts());
  benchmark::DoNotOptimize(solids.clashes());
}

void all_arbor(benchmark::State& state) {
  for (auto _ : state) everything(arbor(), true);
  state.counters["pieces"] = static_cast<double>(arbor().pieces.size());
}
BENCHMARK(all_arbor)->Name("all/arbor with shapes")->Unit(benchmark::kMillisecond);

void all_arbor_no_shapes(benchmark::State& state) {
  for (auto _ : state) everything(arbor(), false);
}
BENCHMARK(all_arbor_no_shapes)->Name("all/arbor without shapes")->Unit(benchmark::kMillisecond);

void growth(benchmark::State& state) {
  const Structure s = example::stand(static_cast<int>(state.range(0)));
  for (auto _ : state) everything(s, true);
  state.counters["us_per_piece"] =
      benchmark::Counter(static_cast<double>(s.pieces.size()) * 1e-6,
                         benchmark::Counter::kIsIterationInvariantRate | benchmark::Counter::kInvert);
}
BENCHMARK(growth)->Name("growth/stand")->Arg(20)->Arg(75)->Arg(300)->Arg(1200)->Unit(benchmark::kMillisecond);

const Piece& beam() {
  static const Structure s = example::stand(9);
  return s[PieceId{example::find(s, "beam").index}];
}

void volume_ours(benchmark::State& state) {
  for (auto _ : state) benchmark::DoNotOptimize(closed_form(machined(beam(), "beam")));
}
BENCHMARK(volume_ours)->Name("volume/outline, closed form")->Unit(benchmark::kMicrosecond);

void volume_prism(benchmark::State& state) {
  for (auto _ : state) benchmark::DoNotOptimize(kernel_measures(kernel_shape(machined(beam(), "beam"))));
}
BENCHMARK(volume_prism)->Name("volume/our prism, kernel integrals")->Unit(benchmark::kMicrosecond);

void volume_kernel(benchmark::State& state) {
  Piece ends = beam();
  std::erase_if(ends.machining, [](const Machining& m) { return std::holds_alternative<Notch>(m); });
  const TopoDS_Shape stock = kernel_shape(machined(ends, "beam"));
  for (auto _ : state) {
    TopTools_ListOfShape arguments, tools;
    arguments.Append(stock);
    for (const Machining& m : beam().machining) {
      if (const Notch* n = std::get_if<Notch>(&m)) {
        const Box b = n->region;
        tools.Append(
            BRepPrimAPI_MakeBox(gp_Pnt(b.min.x, b.min.y, b.min.z - 1), gp_Pnt(b.max.x, b.max.y + 1, b.max.z + 1))
                .Shape());
      }
    }
    BRepAlgoAPI_Cut cut;
    cut.SetArguments(arguments);
    cut.SetTools(tools);
    cut.Build();
    benchmark::DoNotOptimize(kernel_measures(cut.Shape()));
  }
}
BENCHMARK(volume_kernel)->Name("volume/Open CASCADE boolean, integrals")->Unit(benchmark::kMicrosecond);

void meet_ours(benchmark::State& state) {
  for (auto _ : state) {
    const Solids solids(arbor());
    benchmark::DoNotOptimize(solids.contacts());
    benchmark::DoNotOptimize(solids.clashes());
  }
}
BENCHMARK(meet_ours)->Name("meet/convex parts, from nothing")->Unit(benchmark::kMillisecond);

// The kernel gets its shapes ready made, and only pairs whose boxes meet.
void meet_kernel(benchmark::State& state) {
  const Structure& s = arbor();
  const Solids solids(s);
  const auto all = bodies(s);
  std::vector<TopoDS_Shape> shapes;
  int gave_up = 0;  // pairs the kernel threw an exception on
  for (Body b : all) shapes.push_back(kernel_placed(solids.shape(b), frame_of(arbor(), b)));
  for (auto _ : state) {
    int touching = 0;
    double shared = 0;
    gave_up = 0;
    for (std::size_t i = 0; i < all.size(); ++i) {
      for (std::size_t j = i + 1; j < all.size(); ++j) {
        if (!overlaps(world_box(s, all[i]), world_box(s, all[j]), -0.01)) continue;
        try {
          touching += BRepExtrema_DistShapeShape(shapes[i], shapes[j]).Value() <= 0.01;
          shared += kernel_measures(BRepAlgoAPI_Common(shapes[i], shapes[j]).Shape()).volume_mm3;
        } catch (const Standard_Failure&) {
          ++gave_up;
        }
      }
    }
    benchmark::DoNotOptimize(touching);
    benchmark::DoNotOptimize(shared);
  }
  state.counters["gave_up"] = gave_up;
}
BENCHMARK(meet_kernel)->Name("meet/Open CASCADE distance and common")->Unit(benchmark::kMillisecond)->Iterations(1);

void view_ours(benchmark::State& state) {
  const View views[] = {front_view(), side_view(), plan_view(), isometric_view()};
  std::size_t lines = 0;
  for (auto _ : state) {
    const Solids solids(arbor());  // the lines of the pieces themselves included
    lines = solids.project(views[state.range(0)], true).size();
  }
  state.counters["lines"] = static_cast<double>(lines);
}
BENCHMARK(view_ours)->Name("view/convex parts")->DenseRange(0, 3)->Unit(benchmark::kMillisecond);

void view_kernel(benchmark::State& state) {
  const Solids solids(arbor());
  std::vector<TopoDS_Shape> shapes;
  for (Body b : bodies(arbor())) shapes.push_back(kernel_placed(solids.shape(b), frame_of(arbor(), b)));
  for (auto _ : state) {
    Handle(HLRBRep_Algo) hlr = new HLRBRep_Algo;
    for (const TopoDS_Shape& shape : shapes) hlr->Add(shape);
    hlr->Projector(HLRAlgo_Projector(gp_Ax2({0, 0, 0}, gp_Dir(1, -1, 1), gp_Dir(1, 1, 0))));
    hlr->Update();
    hlr->Hide();
    HLRBRep_HLRToShape lines(hlr);
    benchmark::DoNotOptimize(lines.VCompound());
    benchmark::DoNotOptimize(lines.HCompound());
  }
}
BENCHMARK(view_kernel)->Name("view/Open CASCADE exact, isometric")->Unit(benchmark::kMillisecond);

void mesh_arbor(benchmark::State& state) {
  std::size_t triangles = 0;
  for (auto _ : state) {
    const Solids solids(arbor());
    triangles = 0;
    for (Body b : bodies(arbor())) triangles += solids.mesh(b).triangles.size();
  }
  state.counters["triangles"] = static_cast<double>(triangles);
}
BENCHMARK(mesh_arbor)->Name("mesh/arbor")->Unit(benchmark::kMillisecond);

}  // namespace

BENCHMARK_MAIN();
