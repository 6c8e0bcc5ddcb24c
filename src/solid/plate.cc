// SPDX-License-Identifier: Apache-2.0
#include "solid/plate.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>
#include <numbers>
#include <optional>

namespace garthwright::solid {
namespace {

constexpr double kSame = 1e-6;  // mm: nearer than this is the same place
constexpr double kPi = std::numbers::pi;

// A stretch of an edge along which p only grows, so that it is a function q(p).
struct Curve {
  OutlineEdge edge;

  double low() const { return edge.from.p; }
  double high() const { return edge.to.p; }
  bool flat() const { return edge.kind == OutlineEdge::Kind::line; }
  double parameter(double p) const;
  double at(double p) const;
  OutlineEdge between(double p0, double p1) const;
};

OutlineEdge line(Point2 from, Point2 to) {
  OutlineEdge e;
  e.from = from;
  e.to = to;
  return e;
}

OutlineEdge reversed(const OutlineEdge& e) {
  OutlineEdge r = e;
  std::swap(r.from, r.to);
  std::swap(r.from_angle, r.to_angle);
  std::swap(r.handle1, r.handle2);
  return r;
}

// De Casteljau: the stretch of a cubic from t0 to t1.
OutlineEdge stretch(const OutlineEdge& e, double t0, double t1) {
  const auto blossom = [&](double a, double b, double c) {
    const auto mix = [](Point2 x, Point2 y, double t) { return (1 - t) * x + t * y; };
    const Point2 x0 = mix(e.from, e.handle1, a), x1 = mix(e.handle1, e.handle2, a), x2 = mix(e.handle2, e.to, a);
    return mix(mix(x0, x1, b), mix(x1, x2, b), c);
  };
  OutlineEdge s = e;
  s.from = t0 == 0 ? e.from : blossom(t0, t0, t0);
  s.handle1 = blossom(t0, t0, t1);
  s.handle2 = blossom(t0, t1, t1);
  s.to = t1 == 1 ? e.to : blossom(t1, t1, t1);
  return s;
}

double Curve::parameter(double p) const {
  // Near an upright end q runs away with p: whoever asks within a place of an end means that end.
  if (p <= low() + kSame) return 0;
  if (p >= high() - kSame) return 1;
  if (edge.kind == OutlineEdge::Kind::line) return (p - low()) / (high() - low());
  if (edge.kind == OutlineEdge::Kind::arc) {
    const double angle = std::acos(std::clamp((p - edge.centre.p) / edge.radius, -1.0, 1.0));
    // The upper half runs from π to 0, the lower one from −π to 0 (or from π to 2π).
    const double turn = (edge.from_angle + edge.to_angle) / 2;
    const double base = 2 * kPi * std::floor(turn / (2 * kPi));
    const double here = base + (turn - base < kPi ? angle : 2 * kPi - angle);
    return std::clamp((here - edge.from_angle) / (edge.to_angle - edge.from_angle), 0.0, 1.0);
  }
  double lo = 0, hi = 1;
  for (int i = 0; i < 100 && hi - lo > 1e-16; ++i) {
    const double mid = (lo + hi) / 2;
    (point_at(edge, mid).p < p ? lo : hi) = mid;
  }
  return (lo + hi) / 2;
}

double Curve::at(double p) const {
  const double t = parameter(p);
  return t == 0 ? edge.from.q : t == 1 ? edge.to.q : point_at(edge, t).q;
}

OutlineEdge Curve::between(double p0, double p1) const {
  const double t0 = parameter(p0), t1 = parameter(p1);
  OutlineEdge e = edge;
  switch (edge.kind) {
    case OutlineEdge::Kind::cubic:
      e = stretch(edge, t0, t1);
      break;
    case OutlineEdge::Kind::arc:
      e.from_angle = edge.from_angle + t0 * (edge.to_angle - edge.from_angle);
      e.to_angle = edge.from_angle + t1 * (edge.to_angle - edge.from_angle);
      break;
    case OutlineEdge::Kind::line:
      break;
  }
  if (t0 != 0) e.from = {p0, at(p0)};
  if (t1 != 1) e.to = {p1, at(p1)};
  return e;
}

// ---- making curves of what is sawn ----------------------------------------------------------------------------------

class Sweep {
 public:
  Sweep(const Plate& plate, double chord) : plate_(plate), chord_(chord) {}
  Sawn run();

 private:
  struct Path {
    std::vector<int> curves;
    double low_end_p = 0;  // where its lower end leaves the plate
    bool towards_high_p = true;
  };
  struct Hollow {
    std::vector<int> curves;
    bool at_high_q = false;
  };
  struct Band {
    int below = -1, above = -1;  // curves
  };
  struct Slab {
    double p0 = 0, p1 = 0;
    std::vector<Band> timber;
  };
  struct Link {
    int from = -1, to = -1;  // vertices
    OutlineEdge edge;
    int curve = -1;
    bool used = false;
  };

  int add_curve(const OutlineEdge& rising);
  void add_edge(const OutlineEdge& edge, std::vector<int>* into);
  void collect();
  void cross(int a, int b);
  bool timber_at(double p, double q) const;
  void cut_slabs();
  void link_outline();
  void add_link(int from, int to, const OutlineEdge& edge, int curve);
  void trace();
  int next_link(const Link& link) const;
  void decompose();
  void split_band(const Band& band, double p0, double p1);

  const Plate& plate_;
  const double chord_;
  std::vector<Curve> curves_;
  std::vector<Path> paths_;
  std::vector<Hollow> hollows_;
  std::vector<double> breaks_;
  std::vector<Slab> slabs_;
  std::vector<Point2> vertices_;
  std::vector<Link> links_;
  std::vector<std::vector<int>> out_of_;  // links by vertex
  Sawn sawn_;
};

int Sweep::add_curve(const OutlineEdge& rising) {
  curves_.push_back({rising});
  return static_cast<int>(curves_.size()) - 1;
}

std::vector<OutlineEdge> monotone_arcs(const OutlineEdge& e) {
  std::vector<OutlineEdge> parts;
  const double lo = std::min(e.from_angle, e.to_angle), hi = std::max(e.from_angle, e.to_angle);
  std::vector<double> at{lo};
  for (double k = std::floor(lo / kPi) + 1; k * kPi < hi - 1e-9; ++k) {
    if (k * kPi > lo + 1e-9) at.push_back(k * kPi);
  }
  at.push_back(hi);
  if (e.to_angle < e.from_angle) std::reverse(at.begin(), at.end());
  for (std::size_t i = 0; i + 1 < at.size(); ++i) {
    OutlineEdge part = e;
    part.from_angle = at[i];
    part.to_angle = at[i + 1];
    if (i > 0) part.from = point_at(part, 0);
    if (i + 2 < at.size()) part.to = point_at(part, 1);
    parts.push_back(part);
  }
  return parts;
}

void quadratic_roots(double a, double b, double c, std::vector<double>& at) {
  if (std::abs(a) < 1e-12 * (std::abs(b) + std::abs(c))) {
    if (b != 0) at.push_back(-c / b);
    return;
  }
  const double d = b * b - 4 * a * c;
  if (d < 0) return;
  const double s = -(b + std::copysign(std::sqrt(d), b)) / 2;
  at.push_back(s / a);
  if (s != 0) at.push_back(c / s);
}

// Split where it turns back along p and where it changes the side it bulges to.
std::vector<OutlineEdge> monotone_cubics(const OutlineEdge& e) {
  const Point2 a = e.handle1 - e.from, b = e.handle2 - e.handle1, c = e.to - e.handle2;
  std::vector<double> at{0, 1};
  quadratic_roots(a.p - 2 * b.p + c.p, 2 * (b.p - a.p), a.p, at);
  // B' × B'' up to a factor: with B' = a s² + 2 b s t + c t², it is ab s² + ac s t + bc t².
  const double ab = cross(a, b), ac = cross(a, c), bc = cross(b, c);
  quadratic_roots(ab - ac + bc, ac - 2 * ab, ab, at);
  std::erase_if(at, [](double t) { return !(t >= 0 && t <= 1); });
  std::sort(at.begin(), at.end());
  std::vector<OutlineEdge> parts;
  double last = 0;
  for (double t : at) {
    if (t - last < 1e-9) continue;
    if (1 - t < 1e-9) t = 1;
    parts.push_back(stretch(e, last, t));
    last = t;
  }
  return parts;
}

void Sweep::add_edge(const OutlineEdge& edge, std::vector<int>* into) {
  std::vector<OutlineEdge> parts{edge};
  if (edge.kind == OutlineEdge::Kind::arc) parts = monotone_arcs(edge);
  if (edge.kind == OutlineEdge::Kind::cubic) parts = monotone_cubics(edge);
  for (const OutlineEdge& part : parts) {
    breaks_.push_back(part.from.p);
    breaks_.push_back(part.to.p);
    if (std::abs(part.to.p - part.from.p) < kSame) continue;  // upright: the break stands for it
    const int curve = add_curve(part.from.p < part.to.p ? part : reversed(part));
    if (into) into->push_back(curve);
  }
}

// The line of a flat cut, as far as it crosses the plate's range of p.
std::optional<OutlineEdge> cut_line(const FlatCut& cut, double p_max) {
  const double steepness = std::abs(cut.normal.q) / norm(cut.normal);
  if (steepness < 1e-12) return std::nullopt;
  const auto q_at = [&](double p) { return cut.point.q - cut.normal.p * (p - cut.point.p) / cut.normal.q; };
  return line({0, q_at(0)}, {p_max, q_at(p_max)});
}

void Sweep::collect() {
  breaks_ = {0, plate_.p};
  add_edge(line({0, 0}, {plate_.p, 0}), nullptr);
  add_edge(line({0, plate_.q}, {plate_.p, plate_.q}), nullptr);
  for (const Rectangle& r : plate_.notches) {
    add_edge(line(r.min, {r.max.p, r.min.q}), nullptr);
    add_edge(line({r.min.p, r.max.q}, r.max), nullptr);
  }
  for (const Dip& dip : plate_.dips) {
    Hollow& made = hollows_.emplace_back(Hollow{{}, dip.at_high_q});
    for (const OutlineEdge& stroke : dip.strokes) add_edge(stroke, &made.curves);
  }
  for (const FlatCut& cut : plate_.cuts) {
    if (const auto at = cut_line(cut, plate_.p)) {
      add_edge(*at, nullptr);
    } else {
      breaks_.push_back(cut.point.p);
    }
  }
  for (const SawPath& path : plate_.paths) {
    if (path.strokes.empty()) continue;
    Path made;
    made.towards_high_p = path.towards_high_p;
    const Point2 first = path.strokes.front().from, last = path.strokes.back().to;
    made.low_end_p = first.q <= last.q ? first.p : last.p;
    for (const OutlineEdge& stroke : path.strokes) add_edge(stroke, &made.curves);
    // Of an end carried on straight across, only the break is seen.
    breaks_.push_back(first.p);
    breaks_.push_back(last.p);
    paths_.push_back(std::move(made));
  }
  const std::size_t n = curves_.size();
  for (std::size_t a = 0; a < n; ++a) {
    for (std::size_t b = a + 1; b < n; ++b) cross(static_cast<int>(a), static_cast<int>(b));
  }
}

// Breaks where two curves change places. Curves that only touch keep their order, and need none.
void Sweep::cross(int a, int b) {
  const Curve &f = curves_[static_cast<std::size_t>(a)], &g = curves_[static_cast<std::size_t>(b)];
  const double p0 = std::max({f.low(), g.low(), 0.0}), p1 = std::min({f.high(), g.high(), plate_.p});
  if (p1 - p0 < kSame) return;
  const auto gap = [&](double p) { return f.at(p) - g.at(p); };
  const int steps = f.flat() && g.flat() ? 1 : 64;
  double left = p0, gap_left = gap(p0);
  for (int k = 1; k <= steps; ++k) {
    const double right = p0 + (p1 - p0) * k / steps, gap_right = gap(right);
    if ((gap_left < 0) != (gap_right < 0)) {
      if (steps == 1) {
        breaks_.push_back(left + (right - left) * gap_left / (gap_left - gap_right));
      } else {
        double lo = left, hi = right;
        for (int i = 0; i < 60; ++i) {
          const double mid = (lo + hi) / 2;
          ((gap(mid) < 0) == (gap_left < 0) ? lo : hi) = mid;
        }
        breaks_.push_back((lo + hi) / 2);
      }
    }
    left = right;
    gap_left = gap_right;
  }
}

bool Sweep::timber_at(double p, double q) const {
  if (p < 0 || p > plate_.p || q < 0 || q > plate_.q) return false;
  for (const Rectangle& r : plate_.notches) {
    if (p > r.min.p && p < r.max.p && q > r.min.q && q < r.max.q) return false;
  }
  for (const Hollow& hollow : hollows_) {
    for (const int c : hollow.curves) {
      const Curve& curve = curves_[static_cast<std::size_t>(c)];
      if (p <= curve.low() || p >= curve.high()) continue;
      if (hollow.at_high_q ? q > curve.at(p) : q < curve.at(p)) return false;
    }
  }
  for (const FlatCut& cut : plate_.cuts) {
    if (dot(Point2{p, q} - cut.point, cut.normal) > 0) return false;
  }
  for (const Path& path : paths_) {
    // A plumb line down from (p, q): the waste's boundary below it, its far-off bottom included.
    bool waste = path.towards_high_p ? p > path.low_end_p : p < path.low_end_p;
    for (int c : path.curves) {
      const Curve& curve = curves_[static_cast<std::size_t>(c)];
      if (p > curve.low() && p < curve.high() && curve.at(p) < q) waste = !waste;
    }
    if (waste) return false;
  }
  return true;
}

void Sweep::cut_slabs() {
  std::erase_if(breaks_, [&](double p) { return !(p >= 0 && p <= plate_.p); });
  std::sort(breaks_.begin(), breaks_.end());
  std::vector<double> kept;
  for (double p : breaks_) {
    if (kept.empty() || p - kept.back() > kSame) kept.push_back(p);
  }
  breaks_ = std::move(kept);

  for (std::size_t i = 0; i + 1 < breaks_.size(); ++i) {
    Slab slab{breaks_[i], breaks_[i + 1], {}};
    const double mid = (slab.p0 + slab.p1) / 2;
    std::vector<std::pair<double, int>> stack;
    for (std::size_t c = 0; c < curves_.size(); ++c) {
      if (curves_[c].low() < mid && curves_[c].high() > mid) {
        stack.emplace_back(curves_[c].at(mid), static_cast<int>(c));
      }
    }
    std::sort(stack.begin(), stack.end());
    std::vector<std::pair<double, int>> apart;  // of curves that run together the first made stands for all
    for (const auto& [q, c] : stack) {
      if (!apart.empty() && q - apart.back().first < kSame) {
        apart.back().second = std::min(apart.back().second, c);
      } else {
        apart.emplace_back(q, c);
      }
    }
    for (std::size_t k = 0; k + 1 < apart.size(); ++k) {
      if (!timber_at(mid, (apart[k].first + apart[k + 1].first) / 2)) continue;
      if (!slab.timber.empty() && slab.timber.back().above == apart[k].second) {
        slab.timber.back().above = apart[k + 1].second;
      } else {
        slab.timber.push_back({apart[k].second, apart[k + 1].second});
      }
    }
    slabs_.push_back(std::move(slab));
  }
}

// ---- outline --------------------------------------------------------------------------------------------------------

void Sweep::add_link(int from, int to, const OutlineEdge& edge, int curve) {
  if (from == to) return;
  out_of_[static_cast<std::size_t>(from)].push_back(static_cast<int>(links_.size()));
  links_.push_back({from, to, edge, curve, false});
  links_.back().edge.from = vertices_[static_cast<std::size_t>(from)];
  links_.back().edge.to = vertices_[static_cast<std::size_t>(to)];
}

void Sweep::link_outline() {
  // Vertices: where bands of timber end on a break; each break's stand together, from low q to high.
  const std::size_t breaks = breaks_.size();
  std::vector<std::vector<int>> column(breaks);
  const auto ends = [&](const Slab& slab, double p, std::vector<double>& qs) {
    for (const Band& band : slab.timber) {
      qs.push_back(curves_[static_cast<std::size_t>(band.below)].at(p));
      qs.push_back(curves_[static_cast<std::size_t>(band.above)].at(p));
    }
  };
  for (std::size_t i = 0; i < breaks; ++i) {
    std::vector<double> qs;
    if (i > 0) ends(slabs_[i - 1], breaks_[i], qs);
    if (i + 1 < breaks) ends(slabs_[i], breaks_[i], qs);
    std::sort(qs.begin(), qs.end());
    for (double q : qs) {
      if (!column[i].empty() && q - vertices_.back().q < 2 * kSame) continue;
      column[i].push_back(static_cast<int>(vertices_.size()));
      vertices_.push_back({breaks_[i], q});
    }
  }
  out_of_.resize(vertices_.size());
  const auto vertex = [&](std::size_t i, double q) {
    int best = column[i].front();
    for (int v : column[i]) {
      const double off = std::abs(vertices_[static_cast<std::size_t>(v)].q - q);
      if (off < std::abs(vertices_[static_cast<std::size_t>(best)].q - q)) best = v;
    }
    return best;
  };

  for (std::size_t s = 0; s < slabs_.size(); ++s) {
    for (const Band& band : slabs_[s].timber) {
      for (int c : {band.below, band.above}) {
        const Curve& curve = curves_[static_cast<std::size_t>(c)];
        const OutlineEdge e = curve.between(slabs_[s].p0, slabs_[s].p1);
        const int from = vertex(s, curve.at(slabs_[s].p0)), to = vertex(s + 1, curve.at(slabs_[s].p1));
        if (c == band.below) {
          add_link(from, to, e, c);
        } else {
          add_link(to, from, reversed(e), c);
        }
      }
    }
  }
  for (std::size_t i = 0; i < breaks; ++i) {
    const auto is_timber = [&](const Slab* slab, double q) {
      if (!slab) return false;
      return std::any_of(slab->timber.begin(), slab->timber.end(), [&](const Band& band) {
        return curves_[static_cast<std::size_t>(band.below)].at(breaks_[i]) < q &&
               q < curves_[static_cast<std::size_t>(band.above)].at(breaks_[i]);
      });
    };
    for (std::size_t k = 0; k + 1 < column[i].size(); ++k) {
      const int low = column[i][k], high = column[i][k + 1];
      const double mid = (vertices_[static_cast<std::size_t>(low)].q + vertices_[static_cast<std::size_t>(high)].q) / 2;
      const bool left = is_timber(i > 0 ? &slabs_[i - 1] : nullptr, mid);
      const bool right = is_timber(i + 1 < breaks ? &slabs_[i] : nullptr, mid);
      if (left == right) continue;
      add_link(left ? low : high, left ? high : low, {}, -1);
    }
  }
}

// Where two corners of timber meet in one point, the sharpest turn to the left keeps their loops apart.
int Sweep::next_link(const Link& link) const {
  const Point2 in = tangent_at(link.edge, 1);
  int best = -1;
  double best_turn = -10;
  for (int candidate : out_of_[static_cast<std::size_t>(link.to)]) {
    const Link& c = links_[static_cast<std::size_t>(candidate)];
    if (c.used) continue;
    const Point2 out = tangent_at(c.edge, 0);
    const double turn = std::atan2(solid::cross(in, out), dot(in, out));
    if (turn > best_turn) {
      best = candidate;
      best_turn = turn;
    }
  }
  return best;
}

bool continues(const OutlineEdge& a, int curve_a, const OutlineEdge& b, int curve_b) {
  if (a.kind != b.kind) return false;
  if (a.kind == OutlineEdge::Kind::line) {
    const Point2 u = a.to - a.from, v = b.to - b.from;
    return dot(u, v) > 0 && std::abs(cross(u, v)) < kSame * std::max(norm(u), norm(v));
  }
  if (a.kind == OutlineEdge::Kind::arc) {
    return norm(a.centre - b.centre) < kSame && std::abs(a.radius - b.radius) < kSame &&
           (a.to_angle > a.from_angle) == (b.to_angle > b.from_angle) &&
           std::abs(std::remainder(a.to_angle - b.from_angle, 2 * kPi)) < 1e-6;
  }
  return curve_a == curve_b;  // joined below, from the curve they are both of
}

struct Run {
  OutlineEdge edge;
  int curve = -1;
};

void join(Run& a, const Run& b, const Curve* cubic) {
  const Point2 from = a.edge.from;
  if (a.edge.kind == OutlineEdge::Kind::arc) a.edge.to_angle += b.edge.to_angle - b.edge.from_angle;
  if (a.edge.kind == OutlineEdge::Kind::cubic) {
    const bool rising = from.p < b.edge.to.p;
    const OutlineEdge whole = cubic->between(std::min(from.p, b.edge.to.p), std::max(from.p, b.edge.to.p));
    a.edge = rising ? whole : reversed(whole);
  }
  a.edge.from = from;
  a.edge.to = b.edge.to;
}

bool contains(const Loop& rim, Point2 point) {
  bool inside = false;
  for (const OutlineEdge& e : rim) {
    const auto points = sampled(e, 0.05);
    for (std::size_t k = 0; k < points.size(); ++k) {
      const Point2 a = points[k], b = k + 1 < points.size() ? points[k + 1] : e.to;
      if ((a.q > point.q) == (b.q > point.q)) continue;
      if (point.p < a.p + (b.p - a.p) * (point.q - a.q) / (b.q - a.q)) inside = !inside;
    }
  }
  return inside;
}

void Sweep::trace() {
  std::vector<Loop> openings;
  for (std::size_t start = 0; start < links_.size(); ++start) {
    if (links_[start].used) continue;
    std::vector<Run> runs;
    for (int at = static_cast<int>(start); at >= 0; at = next_link(links_[static_cast<std::size_t>(at)])) {
      Link& link = links_[static_cast<std::size_t>(at)];
      link.used = true;
      runs.push_back({link.edge, link.curve});
      if (link.to == links_[start].from) break;
    }
    const auto curve_of = [&](const Run& r) {
      return r.curve >= 0 ? &curves_[static_cast<std::size_t>(r.curve)] : nullptr;
    };
    std::vector<Run> joined;
    for (const Run& run : runs) {
      if (!joined.empty() && continues(joined.back().edge, joined.back().curve, run.edge, run.curve)) {
        join(joined.back(), run, curve_of(run));
      } else {
        joined.push_back(run);
      }
    }
    while (joined.size() > 2 &&
           continues(joined.back().edge, joined.back().curve, joined.front().edge, joined.front().curve)) {
      join(joined.back(), joined.front(), curve_of(joined.front()));
      joined.front() = joined.back();
      joined.pop_back();
    }
    Loop loop;
    for (const Run& run : joined) loop.push_back(run.edge);
    const double area = moments(loop).area;
    if (std::abs(area) < 1e-6) continue;
    if (area > 0) {
      sawn_.outline.push_back({std::move(loop), {}});
    } else {
      openings.push_back(std::move(loop));
    }
  }
  for (Loop& opening : openings) {
    const Point2 a_point = point_at(opening.front(), 0.5);
    for (Patch& patch : sawn_.outline) {
      if (sawn_.outline.size() > 1 && !contains(patch.rim, a_point)) continue;
      patch.openings.push_back(std::move(opening));
      break;
    }
  }
}

// ---- convex parts ---------------------------------------------------------------------------------------------------

// Whether a band bounded by this curve above (below) stays convex: the curve bulges out of the timber.
bool bulges(const Curve& curve, bool above) {
  const Point2 a = curve.edge.from, b = curve.edge.to;
  const double off = cross(b - a, point_at(curve.edge, 0.5) - a);
  return above ? off >= 0 : off <= 0;
}

std::vector<double> places_along(const Curve& curve, double p0, double p1, double chord) {
  std::vector<double> at;
  for (const Point2& point : sampled(curve.between(p0, p1), chord)) at.push_back(std::clamp(point.p, p0, p1));
  at.push_back(p1);
  std::sort(at.begin(), at.end());
  return at;
}

void append(std::vector<Point2>& points, Point2 point) {
  if (points.empty() || norm(points.back() - point) > kSame) points.push_back(point);
}

void Sweep::split_band(const Band& band, double p0, double p1) {
  const Curve &below = curves_[static_cast<std::size_t>(band.below)],
              &above = curves_[static_cast<std::size_t>(band.above)];
  const bool slice_below = !below.flat() && !bulges(below, false), slice_above = !above.flat() && !bulges(above, true);
  std::vector<double> cuts{p0, p1};
  if (slice_below) {
    for (double p : places_along(below, p0, p1, chord_)) cuts.push_back(p);
  }
  if (slice_above) {
    for (double p : places_along(above, p0, p1, chord_)) cuts.push_back(p);
  }
  std::sort(cuts.begin(), cuts.end());
  cuts.erase(std::unique(cuts.begin(), cuts.end(), [](double a, double b) { return b - a < 1e-4; }), cuts.end());
  if (cuts.size() < 2) return;
  cuts.back() = p1;
  const auto chain = [&](const Curve& curve, bool slice, double from, double to) {
    std::vector<Point2> points;
    if (curve.flat() || slice) return std::vector<Point2>{{from, curve.at(from)}, {to, curve.at(to)}};
    for (double p : places_along(curve, from, to, chord_)) points.push_back({p, curve.at(p)});
    return points;
  };
  for (std::size_t k = 0; k + 1 < cuts.size(); ++k) {
    ConvexPolygon polygon;
    polygon.curved = !below.flat() || !above.flat();
    for (const Point2& point : chain(below, slice_below, cuts[k], cuts[k + 1])) append(polygon.points, point);
    auto top = chain(above, slice_above, cuts[k], cuts[k + 1]);
    for (auto point = top.rbegin(); point != top.rend(); ++point) append(polygon.points, *point);
    if (polygon.points.size() > 1 && norm(polygon.points.front() - polygon.points.back()) <= kSame) {
      polygon.points.pop_back();
    }
    if (polygon.points.size() >= 3) sawn_.convex.push_back(std::move(polygon));
  }
}

void Sweep::decompose() {
  // A band goes on through a break when the next slab has the same one.
  struct Open {
    Band band;
    double since;
  };
  std::vector<Open> open;
  const auto same = [](const Band& a, const Band& b) { return a.below == b.below && a.above == b.above; };
  for (std::size_t s = 0; s <= slabs_.size(); ++s) {
    const std::vector<Band> here = s < slabs_.size() ? slabs_[s].timber : std::vector<Band>{};
    std::vector<Open> still;
    for (const Open& o : open) {
      const bool goes_on = std::any_of(here.begin(), here.end(), [&](const Band& b) { return same(b, o.band); });
      if (goes_on) {
        still.push_back(o);
      } else {
        split_band(o.band, o.since, breaks_[s]);
      }
    }
    for (const Band& b : here) {
      const bool known = std::any_of(still.begin(), still.end(), [&](const Open& o) { return same(b, o.band); });
      if (!known) still.push_back({b, breaks_[s]});
    }
    open = std::move(still);
  }
}

Sawn Sweep::run() {
  collect();
  cut_slabs();
  link_outline();
  trace();
  decompose();
  return std::move(sawn_);
}

}  // namespace

Sawn saw(const Plate& plate, double chord) {
  const bool sized = std::isfinite(plate.p) && std::isfinite(plate.q) && plate.p > 2 * kSame && plate.q > 2 * kSame;
  if (!sized) return {};
  return Sweep(plate, chord).run();
}

}  // namespace garthwright::solid
