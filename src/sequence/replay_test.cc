// SPDX-License-Identifier: Apache-2.0
//
// An independent replay: FCL (Flexible Collision Library 0.7 with libccd) brings every body in by the stated motion and
// holds every tool to its fixing. The examples move triangle meshes of the exact solids, step by step; random choices
// of both patterns move the convex parts, each as the solid that it sweeps. What moves is a tenth of a millimetre
// smaller on every face, because timbers that fit touch.
#include <fcl/fcl.h>
#include <gtest/gtest-spi.h>
#include <gtest/gtest.h>

#include <map>
#include <set>

#include "sequence/jobs_for_tests.h"
#include "sequence/tools.h"
#include "sequence/verifier.h"
#include "solid/convex_parts.h"

namespace garthwright::sequence {
namespace {

using testing::example;
using testing::Random;

constexpr double kPlay = 0.15;  // mm off every face of what moves

fcl::Vector3d to_fcl(Vec3 v) { return {v.x, v.y, v.z}; }

using Geometry = std::shared_ptr<fcl::CollisionGeometryd>;

bool collide(const fcl::CollisionObjectd& a, const fcl::CollisionObjectd& b) {
  if (!a.getAABB().overlap(b.getAABB())) return false;
  fcl::CollisionRequestd request;
  fcl::CollisionResultd result;
  return fcl::collide(&a, &b, request, result) > 0;
}

fcl::CollisionObjectd object(const Geometry& geometry, Vec3 at = {}) {
  fcl::Transform3d pose = fcl::Transform3d::Identity();
  pose.translation() = to_fcl(at);
  fcl::CollisionObjectd o(geometry, pose);
  o.computeAABB();
  return o;
}

// ---- triangle meshes ------------------------------------------------------------------------------------------------

/// World points of a body's mesh, moved into the material by `play` on every face that meets there.
std::vector<Vec3> shrunk(const solid::Mesh& mesh, const Frame& frame, double play) {
  std::map<std::array<long, 3>, std::vector<Vec3>> normals;
  const auto key = [](Vec3 p) {
    return std::array<long, 3>{std::lround(p.x * 1e3), std::lround(p.y * 1e3), std::lround(p.z * 1e3)};
  };
  for (const auto& t : mesh.triangles) {
    const Vec3 a = mesh.points[t[0]], b = mesh.points[t[1]], c = mesh.points[t[2]];
    const Vec3 area = cross(b - a, c - a);
    if (norm(area) < 1e-9) continue;
    const Vec3 n = unit(area);
    for (const Vec3& p : {a, b, c}) {
      auto& list = normals[key(p)];
      if (std::none_of(list.begin(), list.end(), [&](Vec3 m) { return norm(m - n) < 1e-3; })) list.push_back(n);
    }
  }
  std::vector<Vec3> points;
  for (const Vec3& p : mesh.points) {
    // The shift d with n · d = -play for every face there, in the sense of least squares.
    Eigen::Matrix3d m = 1e-9 * Eigen::Matrix3d::Identity();
    Eigen::Vector3d r = Eigen::Vector3d::Zero();
    for (const Vec3& n : normals[key(p)]) {
      const Eigen::Vector3d e(n.x, n.y, n.z);
      m += e * e.transpose();
      r -= play * e;
    }
    const Eigen::Vector3d d = m.ldlt().solve(r);
    points.push_back(frame.to_world(p + Vec3{d.x(), d.y(), d.z()}));
  }
  return points;
}

Geometry mesh_of(const solid::Solids& solids, const Structure& structure, Body b, double play) {
  const solid::Mesh& mesh = solids.mesh(b, 0.5);
  EXPECT_FALSE(mesh.triangles.empty()) << describe(structure, b);
  const std::vector<Vec3> points = shrunk(mesh, frame_of(structure, b), play);
  auto model = std::make_shared<fcl::BVHModel<fcl::OBBRSSd>>();
  model->beginModel();
  for (const auto& t : mesh.triangles)
    model->addTriangle(to_fcl(points[t[0]]), to_fcl(points[t[1]]), to_fcl(points[t[2]]));
  model->endModel();
  return model;
}

// ---- convex parts ---------------------------------------------------------------------------------------------------

Geometry hull_of(const std::vector<Vec3>& points) {
  auto vertices = std::make_shared<std::vector<fcl::Vector3d>>();
  for (const Vec3& p : points) vertices->push_back(to_fcl(p));
  // The narrow phase asks a convex solid for nothing but its farthest point along a direction; one face is enough.
  auto faces = std::make_shared<std::vector<int>>(std::vector<int>{3, 0, 1, 2});
  return std::make_shared<fcl::Convexd>(vertices, 1, faces);
}

/// The part a little smaller along each axis of its piece, then where it stands, and where it comes from.
std::vector<Vec3> swept(const ConvexPart& part, const Frame& frame, Vec3 from) {
  std::vector<Vec3> points;
  const Vec3 half = 0.5 * part.box.size();
  Vec3 middle;  // of its corners: inside every face, slanting ones too
  for (const Vec3& v : part.vertices) middle = middle + (1.0 / static_cast<double>(part.vertices.size())) * v;
  for (const Vec3& v : part.vertices) {
    Vec3 p = v - middle;
    for (int k = 0; k < 3; ++k) p[k] *= std::max(0.1, 1 - 2 * kPlay / half[k]);
    points.push_back(frame.to_world(middle + p));
  }
  const std::size_t n = points.size();
  for (std::size_t i = 0; i < n && norm(from) > 0; ++i) points.push_back(points[i] + from);
  return points;
}

// ---- the replay -----------------------------------------------------------------------------------------------------

class Replay {
 public:
  Replay(const Structure& structure, const solid::Solids& solids, bool meshes)
      : s_(structure), solids_(solids), meshes_(meshes) {}

  void run(const std::vector<Stage>& stages) {
    for (const Step* step : all_steps(stages)) {
      if (const auto* x = std::get_if<Bring>(step)) bring(*x);
      if (const auto* x = std::get_if<Drive>(step)) drive(*x);
      if (failed_) return;
    }
    for (std::size_t i = 0; i < s_.pieces.size(); ++i)
      EXPECT_TRUE(place_.contains(body(PieceId{static_cast<int>(i)})) &&
                  place_[body(PieceId{static_cast<int>(i)})] == kSite);
    for (std::size_t i = 0; i < s_.panels.size(); ++i)
      EXPECT_TRUE(place_.contains(body(PanelId{static_cast<int>(i)})) &&
                  place_[body(PanelId{static_cast<int>(i)})] == kSite);
    EXPECT_EQ(driven_, static_cast<int>(s_.fixings.size()));
  }

 private:
  const std::vector<fcl::CollisionObjectd>& still(Body b) {
    auto& list = still_[b];
    if (!list.empty()) return list;
    if (meshes_) {
      list.push_back(object(mesh_of(solids_, s_, b, 0)));
    } else {
      for (const ConvexPart& part : solids_.parts(b)) {
        std::vector<Vec3> points;
        for (const Vec3& v : part.vertices) points.push_back(frame_of(s_, b).to_world(v));
        list.push_back(object(hull_of(points)));
      }
    }
    return list;
  }

  bool hits(const fcl::CollisionObjectd& o, Workplace place, const std::set<Body>& but, std::string& whom) {
    for (const auto& [other, where] : place_) {
      if (where != place || but.contains(other)) continue;
      for (const auto& part : still(other))
        if (collide(o, part)) {
          whom = describe(s_, other);
          return true;
        }
    }
    return false;
  }

  void bring(const Bring& x) {
    const std::set<Body> moving(x.bodies.begin(), x.bodies.end());
    std::string whom;
    for (const Body b : x.bodies) {
      if (meshes_) {
        auto o = object(mesh_of(solids_, s_, b, kPlay));
        // Fine steps near the end, thinner than the thinnest timber all the way.
        for (double off = 0; off < 6000; off += off < 200 ? 2 : 12) {
          o.setTranslation(to_fcl(-off * x.way));
          o.computeAABB();
          if (hits(o, x.to, moving, whom)) {
            failed_ = true;
            ADD_FAILURE() << describe(s_, b) << " meets " << whom << " " << off << " mm before its place";
            return;
          }
        }
      } else {
        for (const ConvexPart& part : solids_.parts(b))
          if (hits(object(hull_of(swept(part, frame_of(s_, b), -15000 * x.way))), x.to, moving, whom)) {
            failed_ = true;
            ADD_FAILURE() << describe(s_, b) << " meets " << whom << " on its way";
            return;
          }
      }
    }
    for (const Body b : x.bodies) place_[b] = x.to;
  }

  fcl::CollisionObjectd rod(Vec3 from, Vec3 way, double radius, double length) {
    fcl::Transform3d pose = fcl::Transform3d::Identity();
    pose.linear() = Eigen::Quaterniond::FromTwoVectors(Eigen::Vector3d::UnitZ(), to_fcl(way)).toRotationMatrix();
    pose.translation() = to_fcl(from + 0.5 * length * way);
    fcl::CollisionObjectd o(std::make_shared<fcl::Cylinderd>(radius - kPlay, length - 2 * kPlay), pose);
    o.computeAABB();
    return o;
  }

  void drive(const Drive& x) {
    ++driven_;
    const Fixing& f = s_.fixings[static_cast<std::size_t>(x.fixing)];
    std::set<Workplace> places;
    for (const Body b : f.through)
      if (b.kind == Body::Kind::piece || b.kind == Body::Kind::panel)
        places.insert(place_.contains(b) ? place_[b] : -1);
    ASSERT_EQ(places.size(), 1U) << f.item;
    ASSERT_GE(*places.begin(), 0) << f.item;
    const Tool* t = tool_named(x.tool);
    ASSERT_NE(t, nullptr) << x.tool;
    if (f.kind == timber::FixingKind::coach_bolt && t->cramped) return;  // names the nut's tool: see the verifier
    std::string whom;
    const auto room = [&](const Tool& tool, const Hold& at) {
      const auto free = [&](double radius, double from, double to) {
        return !hits(rod(at.head + from * at.out, at.out, radius, to - from), *places.begin(), {}, whom);
      };
      return free(tool.bit_radius, tool.bit_from, tool.bit_to) && free(tool.body_radius, tool.bit_to, tool.body_to);
    };
    // One leg of a bent part is driven with the tool that is named, the other with any that drives its kind.
    const std::vector<Hold> at = holds(f);
    const std::vector<const Tool*> any = tools_for(f.kind, false);
    EXPECT_TRUE(std::any_of(at.begin(), at.end(), [&](const Hold& hold) { return room(*t, hold); }))
        << f.item << ": " << whom << " is in the way of the " << x.tool;
    for (const Hold& hold : at) {
      if (at.size() > 1 && std::any_of(any.begin(), any.end(), [&](const Tool* one) { return room(*one, hold); }))
        continue;
      EXPECT_TRUE(room(*t, hold)) << f.item << ": " << whom << " is in the way of the " << x.tool;
    }
  }

  const Structure& s_;
  const solid::Solids& solids_;
  bool meshes_;
  std::map<Body, Workplace> place_;
  std::map<Body, std::vector<fcl::CollisionObjectd>> still_;
  int driven_ = 0;
  bool failed_ = false;
};

// Sanitizers make all of this some twenty times slower: there fewer are tried.
#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
constexpr int kChoices = 16;
constexpr std::size_t kExamples = 1;
#else
constexpr int kChoices = 200;
constexpr std::size_t kExamples = 4;
#endif

TEST(Replay, EveryExampleOnMeshes) {
  ASSERT_GE(testing::example_names().size(), kExamples);
  for (std::size_t i = 0; i < kExamples; ++i) {
    const std::string& name = testing::example_names()[i];
    const auto structure = example(name);
    const solid::Solids solids(*structure);
    const Report r = work_out(*structure, solids);
    ASSERT_FALSE(r.stages.empty()) << name;
    SCOPED_TRACE(name);
    Replay(*structure, solids, true).run(r.stages);
  }
}

/// A wrong order would be found: the rafters' way in turned round.
TEST(Replay, AWrongWayIsSeen) {
  const auto structure = example("arbor");
  const solid::Solids solids(*structure);
  Report r = work_out(*structure, solids);
  for (Step& step : r.stages[r.stages.size() - 2].steps)
    if (auto* x = std::get_if<Bring>(&step)) x->way = -x->way;
  for (const bool meshes : {true, false}) {
    ::testing::TestPartResultArray failures;
    {
      ::testing::ScopedFakeTestPartResultReporter reporter(
          ::testing::ScopedFakeTestPartResultReporter::INTERCEPT_ONLY_CURRENT_THREAD, &failures);
      Replay(*structure, solids, meshes).run(r.stages);
    }
    EXPECT_GT(failures.size(), 0);
  }
}

/// Random choices of both patterns: an order that the verifier accepts and that FCL can follow, or an honest message.
TEST(Replay, RandomChoicesOnConvexParts) {
  Random random(20261125);
  int made = 0, ordered = 0;
  std::map<std::string, int> refused;
  for (int tries = 0; made < kChoices && tries < 10 * kChoices; ++tries) {
    const std::string text = tries % 2 == 0 ? testing::random_arbor(random) : testing::random_pergola(random);
    const auto structure = testing::built(text);
    if (!structure) continue;
    ++made;
    SCOPED_TRACE(text);
    const solid::Solids solids(*structure);
    Options options;
    options.people = 1 + made % 3;
    const Report r = work_out(*structure, solids, options);
    if (r.stages.empty()) {
      ASSERT_FALSE(r.diagnostics.empty());
      ++refused[r.diagnostics.front().code];
      // Only what people cannot lift may stand against these patterns.
      EXPECT_EQ(r.diagnostics.front().code, "too-heavy") << r.diagnostics.front().what;
      continue;
    }
    ++ordered;
    const Verdict v = verify(*structure, solids, r.stages, options.rates, {options.people});
    EXPECT_TRUE(v.accepted()) << "stage " << v.stage << ": " << name(v.fault) << ": " << v.why;
    Replay(*structure, solids, false).run(r.stages);
    if (HasFailure()) return;
  }
  EXPECT_EQ(made, kChoices);
  RecordProperty("ordered", ordered);
  for (const auto& [code, count] : refused) RecordProperty(code, count);
  EXPECT_GT(ordered, 9 * made / 10);
}

}  // namespace
}  // namespace garthwright::sequence
