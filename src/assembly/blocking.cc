// SPDX-License-Identifier: Apache-2.0
#include "assembly/blocking.h"

#include <algorithm>
#include <limits>

#include "assembly/separation.h"
#include "base/patience.h"

namespace garthwright::assembly {
namespace {

/// One line of ways: ways[2k] and its opposite are asked together, for a line cut once answers both.
struct Line {
  Vec3 way;
  Vec3 inverse;  ///< 1 / component, 0 where the component is 0
};

/// What a line through rest says: blocked forwards, backwards.
struct Blocked {
  bool forwards = false, backwards = false;
};

Blocked of(const Stretch& s) { return {s.to > 0, s.from < 0}; }

/// clash() for a difference that is a box square to the axes, without touching memory.
Blocked box_clash(Vec3 lo, Vec3 hi, const Line& line) {
  double from = -std::numeric_limits<double>::infinity(), to = -from;
  for (int k = 0; k < 3; ++k) {
    if (line.inverse[k] == 0) {
      if (lo[k] >= 0 || hi[k] <= 0) return {};
      continue;
    }
    const double a = lo[k] * line.inverse[k], b = hi[k] * line.inverse[k];
    from = std::max(from, std::min(a, b));
    to = std::min(to, std::max(a, b));
    if (from >= to) return {};
  }
  return of({from, to});
}

Box box_difference(const Box& moving, const Box& still, double touch) {
  const Vec3 skin{touch, touch, touch};
  return {still.min - moving.max + skin, still.max - moving.min - skin};
}

/// For every line, whether `moving` runs into `still` forwards or backwards.
class PairTest {
 public:
  PairTest(const std::vector<Line>& lines, double touch) : lines_(lines), touch_(touch), blocked_(lines.size()) {}

  const std::vector<Blocked>& run(const std::vector<ConvexPart>& moving, const Box& moving_box,
                                  const std::vector<ConvexPart>& still, const Box& still_box) {
    std::fill(blocked_.begin(), blocked_.end(), Blocked{});
    open_.clear();
    const Box whole = box_difference(moving_box, still_box, touch_);
    for (int k = 0; k < static_cast<int>(lines_.size()); ++k) {
      const Blocked b = box_clash(whole.min, whole.max, lines_[k]);
      if (b.forwards || b.backwards) open_.push_back(k);
    }
    for (const ConvexPart& a : moving) {
      for (const ConvexPart& b : still) {
        if (open_.empty()) return blocked_;
        a.is_aligned_box&& b.is_aligned_box ? boxes(a, b) : solids(a, b);
        std::erase_if(open_, [&](int k) { return blocked_[k].forwards && blocked_[k].backwards; });
      }
    }
    return blocked_;
  }

 private:
  void add(int line, Blocked b) {
    blocked_[line].forwards |= b.forwards;
    blocked_[line].backwards |= b.backwards;
  }

  void boxes(const ConvexPart& a, const ConvexPart& b) {
    const Box d = box_difference(a.box, b.box, touch_);
    for (int k : open_) add(k, box_clash(d.min, d.max, lines_[k]));
  }

  void solids(const ConvexPart& a, const ConvexPart& b) {
    const Box d = box_difference(a.box, b.box, touch_);
    bool have_slabs = false;
    for (int k : open_) {
      const Blocked rough = box_clash(d.min, d.max, lines_[k]);
      const bool news = (rough.forwards && !blocked_[k].forwards) || (rough.backwards && !blocked_[k].backwards);
      if (!news) continue;
      if (!have_slabs) slabs_ = difference(a, b);
      have_slabs = true;
      if (const auto s = clash(slabs_, {}, lines_[k].way, touch_)) add(k, of(*s));
    }
  }

  const std::vector<Line>& lines_;
  double touch_;
  std::vector<Blocked> blocked_;
  std::vector<int> open_;
  Difference slabs_;
};

std::vector<Line> lines_of(const Ways& ways) {
  std::vector<Line> lines;
  for (std::size_t k = 0; k < ways.size(); k += 2) {
    const Vec3 w = ways[k];
    lines.push_back({w, {w.x ? 1 / w.x : 0, w.y ? 1 / w.y : 0, w.z ? 1 / w.z : 0}});
  }
  return lines;
}

}  // namespace

Blocking::Blocking(const Assembly& assembly, Ways ways)
    : ways_(std::move(ways)),
      pieces_(static_cast<int>(assembly.pieces.size())),
      hit_(ways_.size() * pieces_, PieceSet(pieces_)),
      site_(ways_.size() * pieces_, 0) {
  const std::vector<Line> lines = lines_of(ways_);
  PairTest test(lines, assembly.touch);
  std::vector<Box> boxes;
  for (const Piece& piece : assembly.pieces) boxes.push_back(box_around(piece.parts));

  for (int i = 0; i < pieces_; ++i) {
    look_at_the_clock();
    for (int j = 0; j < i; ++j) {
      const auto& blocked = test.run(assembly.pieces[i].parts, boxes[i], assembly.pieces[j].parts, boxes[j]);
      for (std::size_t k = 0; k < lines.size(); ++k) {
        // If i runs into j one way, j runs into i the other way.
        if (blocked[k].forwards) {
          hit_[2 * k * pieces_ + i].insert(j);
          hit_[(2 * k + 1) * pieces_ + j].insert(i);
        }
        if (blocked[k].backwards) {
          hit_[(2 * k + 1) * pieces_ + i].insert(j);
          hit_[2 * k * pieces_ + j].insert(i);
        }
      }
    }
  }
  const std::vector<ConvexPart> site = solids_of(assembly.site);
  if (site.empty()) return;
  const Box site_box = box_around(site);
  for (int i = 0; i < pieces_; ++i) {
    const auto& blocked = test.run(assembly.pieces[i].parts, boxes[i], site, site_box);
    for (std::size_t k = 0; k < lines.size(); ++k) {
      site_[2 * k * pieces_ + i] = blocked[k].forwards;
      site_[(2 * k + 1) * pieces_ + i] = blocked[k].backwards;
    }
  }
}

}  // namespace garthwright::assembly
