// SPDX-License-Identifier: Apache-2.0
//
// Each kind of joint once, large: closed with the marks of what meets, drawn apart with its fixings in the order in
// which they are driven, and square on from their heads with the places of all of them. Timbers are broken off a little
// way from the joint.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "marking/drilling.h"
#include "sheets/flow.h"
#include "sheets/joint_kinds.h"
#include "sheets/kinds.h"
#include "sheets/leaders.h"
#include "sheets/scale.h"
#include "sheets/view.h"

namespace garthwright::sheets {

namespace {

constexpr double kHigh = 36;                           // of the pictures
constexpr double kMarks = 36, kNumbers = 7;            // columns of words beside them
constexpr double kClosed = 34, kApart = 38;            // widths of the first two
constexpr double kLeastReach = 130, kMostReach = 260;  // mm of timber that is drawn on each side of the joint
constexpr double kRound = 50;                          // mm of timber round a fixing
constexpr double kFarEnd = 400;                        // an end so far away is no end distance

/// The bodies of one joint alone, broken off near it.
struct Near {
  Structure s;
  std::vector<Body> bodies{};
  std::vector<bool> cut_start{}, cut_finish{};  ///< of each body: whether that end is a break
  Vec3 centre{};
};

const Fixing& fixing(const Structure& s, int index) { return s.fixings[static_cast<std::size_t>(index)]; }

/// The fixings that can be drawn large: all of them, or those round the first where they are far apart.
struct Shown {
  Vec3 centre;
  std::vector<int> fixings;
};

Shown shown_of(const Structure& s, const std::vector<int>& order) {
  Vec3 sum;
  for (const int f : order) sum = sum + fixing(s, f).head;
  const Vec3 middle = (1.0 / static_cast<double>(order.size())) * sum;
  const auto within = [&](Vec3 centre, int f) { return norm(fixing(s, f).head - centre) + kRound <= kMostReach; };
  if (std::all_of(order.begin(), order.end(), [&](int f) { return within(middle, f); })) return {middle, order};
  Shown shown{fixing(s, order.front()).head, {}};
  for (const int f : order)
    if (within(shown.centre, f)) shown.fixings.push_back(f);
  return shown;
}

double reach_of(const Structure& s, const JointPlace& place, Vec3 centre) {
  double reach = 0;
  for (const int f : place.fixings) reach = std::max(reach, norm(fixing(s, f).head - centre) + kRound);
  for (const Body b : place.bodies)
    if (b.kind == Body::Kind::piece) reach = std::max(reach, 1.3 * s[PieceId{b.index}].width.value());
  return std::clamp(reach, kLeastReach, kMostReach);
}

/// What of a timber's machining lies between two places along it, with breaks where it goes on.
void break_off(Piece& piece, double from, double to, bool start, bool finish) {
  std::vector<Machining> kept;
  for (const Machining& m : piece.machining) {
    if (const auto* cut = std::get_if<EndCut>(&m)) {
      if (cut->end == End::start ? start : finish) continue;
    } else if (const auto* shape = std::get_if<ShapedEnd>(&m)) {
      if (shape->end == End::start ? start : finish) continue;
    } else if (const auto* notch = std::get_if<Notch>(&m)) {
      if (notch->region.max.x < from || notch->region.min.x > to) continue;
    } else if (std::holds_alternative<Hole>(m)) {
      continue;  // drawings leave out bores
    }
    kept.push_back(m);
  }
  if (start) kept.emplace_back(EndCut{End::start, {from, 0, 0}, {-1, 0, 0}});
  if (finish) kept.emplace_back(EndCut{End::finish, {to, 0, 0}, {1, 0, 0}});
  piece.machining = std::move(kept);
}

/// `place` holds those of its fixings that are shown.
Near near_of(const Structure& whole, const JointPlace& place, Vec3 centre, double reach) {
  Near near;
  near.s.sections = whole.sections;
  near.centre = centre;
  for (const Body b : place.bodies) {
    if (b.kind == Body::Kind::piece) {
      Piece piece = whole[PieceId{b.index}];
      const double at = piece.frame.to_local(near.centre).x, length = piece.length.value();
      const double from = at - reach, to = at + reach;
      const bool start = from > 10, finish = to < length - 10;
      break_off(piece, from, to, start, finish);
      near.s.pieces.push_back(std::move(piece));
      near.bodies.push_back(body(PieceId{static_cast<int>(near.s.pieces.size()) - 1}));
      near.cut_start.push_back(start), near.cut_finish.push_back(finish);
      // Shapes are shared between equal marks: what is broken off here is like no other.
      near.s.pieces.back().mark = fmt::format("{}", near.s.pieces.size());
    } else if (b.kind == Body::Kind::panel) {
      Panel panel = whole[PanelId{b.index}];
      const Vec3 at = panel.frame.to_local(near.centre);
      const double left = std::max(0.0, at.x - reach), right = std::min(panel.width.value(), at.x + reach);
      const double low = std::max(0.0, at.y - reach), high = std::min(panel.height.value(), at.y + reach);
      panel.frame.origin = panel.frame.to_world({left, low, 0});
      panel.width = right - left, panel.height = high - low;
      near.s.panels.push_back(std::move(panel));
      near.bodies.push_back(body(PanelId{static_cast<int>(near.s.panels.size()) - 1}));
      near.cut_start.push_back(true), near.cut_finish.push_back(true);
    } else {
      near.bodies.push_back(b);
      near.cut_start.push_back(true), near.cut_finish.push_back(true);
    }
  }
  return near;
}

bool is_solid(Body b) { return b.kind == Body::Kind::piece || b.kind == Body::Kind::panel; }

// ---- pictures -------------------------------------------------------------------------------------------------------

/// From the side on which most heads are, from above rather than from below.
solid::View towards_heads(const Structure& whole, const JointPlace& place) {
  Vec3 driven;
  for (const int f : place.fixings) driven = driven + fixing(whole, f).direction;
  solid::View best = solid::isometric_view();
  double most = -std::numeric_limits<double>::infinity();
  for (const double z : {-0.8, 0.8})
    for (const double x : {-0.8, 0.8})
      for (const double y : {1.0, -1.0}) {
        const Vec3 forward = unit(Vec3{x, y, z});
        const double score = dot(forward, driven) / static_cast<double>(place.fixings.size()) + (z < 0 ? 0.35 : 0) +
                             (y > 0 ? 0.05 : 0) + (x < 0 ? 0.02 : 0);
        if (score <= most) continue;
        most = score;
        best = {forward, unit(Vec3{0, 0, 1} - dot(Vec3{0, 0, 1}, forward) * forward)};
      }
  return best;
}

std::array<double, 2> on(const solid::View& view, Vec3 p) { return {dot(p, rightwards(view)), dot(p, view.up)}; }

void bound(Picture& picture) {
  picture.left = picture.low = std::numeric_limits<double>::infinity();
  picture.right = picture.high = -picture.left;
  for (const solid::Line& l : picture.lines)
    for (const auto& [u, v] : l.points) {
      picture.left = std::min(picture.left, u), picture.right = std::max(picture.right, u);
      picture.low = std::min(picture.low, v), picture.high = std::max(picture.high, v);
    }
}

Picture picture_of(const Near& near, const solid::View& view) {
  const solid::Solids solids(near.s);
  Picture picture{view, solids.project(view, false), 0, 0, 0, 0};
  bound(picture);
  return picture;
}

OnPage fitted(const Picture& picture, const Rect& room) {
  const double reduction = std::max({picture.width() / room.width(), picture.height() / room.height(), 1e-6});
  return {reduction,
          picture.left,
          picture.high,
          {room.centre().x - picture.width() / reduction / 2, room.centre().y - picture.height() / reduction / 2}};
}

std::string partner(const Structure& s, Body b) {
  if (b.kind != Body::Kind::piece) return describe(s, b);
  return s[PieceId{b.index}].name + " " + s[PieceId{b.index}].mark;
}

/// The mark first: it stays where the name has to be shortened.
std::string label(const Structure& s, Body b) {
  return b.kind == Body::Kind::piece ? s[PieceId{b.index}].mark + " " + s[PieceId{b.index}].name : partner(s, b);
}

void draw_closed(Items& items, const Structure& whole, const JointPlace& place, const Near& near,
                 const solid::View& view, const Rect& room) {
  const Picture picture = picture_of(near, view);
  const OnPage page = fitted(picture, {room.left + kMarks + 2, room.top, room.right, room.bottom});
  draw_picture(items, picture, page);
  // The name leads to the middle of what is seen of it.
  std::map<Body, std::pair<Point, int>> seen;
  for (const solid::Line& l : picture.lines)
    for (const auto& [u, v] : l.points) {
      auto& [sum, count] = seen[l.body];
      sum = sum + page(u, v);
      ++count;
    }
  std::vector<Leader> leaders;
  for (std::size_t i = 0; i < near.bodies.size(); ++i)
    if (const auto found = seen.find(near.bodies[i]); found != seen.end())
      leaders.push_back({(1.0 / found->second.second) * found->second.first, label(whole, place.bodies[i])});
  draw_leaders(items, std::move(leaders), {room.left, room.top + 2, room.left + kMarks, room.bottom - 2}, true);
}

/// In the order of work where there is one, else as they are listed.
std::vector<int> driven_in_order(const Plan& plan, std::size_t structure, std::vector<int> fixings) {
  if (structure >= plan.orders.size()) return fixings;
  std::map<int, int> turn;
  for (const sequence::Stage& stage : plan.orders[structure].stages)
    for (const sequence::Step& step : stage.steps)
      if (const auto* drive = std::get_if<sequence::Drive>(&step))
        turn.emplace(drive->fixing, static_cast<int>(turn.size()));
  std::stable_sort(fixings.begin(), fixings.end(), [&](int a, int b) {
    const auto at = [&](int f) { return turn.contains(f) ? turn.at(f) : std::numeric_limits<int>::max(); };
    return at(a) < at(b);
  });
  return fixings;
}

/// What is driven into stays, what comes before it moves off against the way of the fixings, and these farther still.
void draw_apart(Items& items, const Structure& whole, const JointPlace& place, const Near& near,
                const std::vector<int>& order, const solid::View& view, const Rect& room) {
  Vec3 way;
  for (const int f : place.fixings) way = way + fixing(whole, f).direction;
  way = norm(way) > 1e-6 ? unit(way) : fixing(whole, place.fixings.front()).direction;
  constexpr double kStep = 90;
  Near apart = near;
  std::map<Body, Vec3> shift;
  double back = 0;
  for (std::size_t i = near.bodies.size(); i-- > 0;) {
    shift[place.bodies[i]] = -back * way;
    if (is_solid(near.bodies[i])) {
      Frame& frame = near.bodies[i].kind == Body::Kind::piece ? apart.s[PieceId{near.bodies[i].index}].frame
                                                              : apart.s[PanelId{near.bodies[i].index}].frame;
      frame.origin = frame.origin - back * way;
    }
    back += kStep;
  }
  Picture picture = picture_of(apart, view);
  std::vector<Vec3> heads;
  for (const int f : order) {
    const Fixing& x = fixing(whole, f);
    const Vec3 head = x.head + shift[x.through.front()] - (x.length + 25) * x.direction;
    heads.push_back(head);
    // Its shank as it is long, a bar for its head, and the line on which it goes in.
    const Vec3 bar = std::max(x.across_head, 2 * x.diameter) / 2 * rightwards(view);
    picture.lines.push_back({{}, true, {on(view, head), on(view, head + x.length * x.direction)}});
    picture.lines.push_back({{}, true, {on(view, head - bar), on(view, head + bar)}});
    picture.lines.push_back(
        {{}, false, {on(view, head + x.length * x.direction), on(view, x.head + shift[x.through.front()])}});
  }
  bound(picture);
  const OnPage page = fitted(picture, {room.left + kNumbers + 2, room.top, room.right, room.bottom});
  draw_picture(items, picture, page);
  std::vector<Leader> leaders;
  for (std::size_t i = 0; i < heads.size(); ++i) {
    const auto at = on(view, heads[i]);
    leaders.push_back({page(at[0], at[1]), fmt::format("{}", i + 1)});
  }
  draw_leaders(items, std::move(leaders), {room.left, room.top + 1, room.left + kNumbers, room.bottom - 1}, true);
}

/// Square on, from the heads.
solid::View along_fixings(const Structure& whole, const JointPlace& place) {
  const Vec3 forward = fixing(whole, place.fixings.front()).direction;
  const Vec3 up = std::abs(forward.z) > 0.9 ? Vec3{0, 1, 0} : Vec3{0, 0, 1};
  return {forward, unit(up - dot(up, forward) * forward)};
}

/// Edges and true ends of what is seen, and the fixings, along one direction of the picture.
Measured places_along(const Structure& whole, const JointPlace& place, const Near& near, Vec3 direction, Vec3 forward,
                      const Lengths& lengths) {
  std::vector<double> at;
  for (std::size_t i = 0; i < near.bodies.size(); ++i) {
    if (near.bodies[i].kind != Body::Kind::piece) continue;
    const Piece& piece = near.s[PieceId{near.bodies[i].index}];
    const double along = dot(piece.frame.x, direction);
    if (std::abs(along) > 0.99) {
      const double a = dot(piece.frame.origin, direction), b = a + along * piece.length.value();
      if (!near.cut_start[i]) at.push_back(a);
      if (!near.cut_finish[i]) at.push_back(b);
    } else if (std::abs(along) < 0.01) {
      const Box box = piece.blank();
      const double a = dot(piece.frame.to_world(box.min), direction), b = dot(piece.frame.to_world(box.max), direction);
      at.insert(at.end(), {a, b});
    }
  }
  for (const int f : place.fixings)
    if (std::abs(dot(fixing(whole, f).direction, forward)) > 0.99) at.push_back(dot(fixing(whole, f).head, direction));
  return chain(std::move(at), lengths);
}

void draw_square_on(Items& items, const Structure& whole, const JointPlace& place, const Near& near,
                    const Lengths& lengths, const Rect& room, std::string& scale_words) {
  const solid::View view = along_fixings(whole, place);
  DimensionedView drawn{"", picture_of(near, view), false, {}, {}, {}, {}};
  for (const int f : place.fixings) {
    const Fixing& x = fixing(whole, f);
    if (std::abs(dot(x.direction, view.forward)) < 0.99) continue;
    const auto [u, v] = on(view, x.head);
    const double r = std::max(x.diameter, 5.0) / 2, arm = r + 6;
    solid::Line ring{{}, true, {}};
    for (int i = 0; i <= 16; ++i) ring.points.push_back({u + r * cosd(22.5 * i), v + r * sind(22.5 * i)});
    drawn.picture.lines.push_back(std::move(ring));
    drawn.picture.lines.push_back({{}, true, {{u - arm, v}, {u + arm, v}}});
    drawn.picture.lines.push_back({{}, true, {{u, v - arm}, {u, v + arm}}});
  }
  drawn.below = {places_along(whole, place, near, rightwards(view), view.forward, lengths)};
  drawn.right = {places_along(whole, place, near, view.up, view.forward, lengths)};
  for (const Scale& s : scales(lengths.style.units)) {
    const Point size = size_on_page(drawn, s.reduction);
    if (size.x > room.width() || size.y > room.height()) continue;
    draw_view(items, drawn, s.reduction, room);
    scale_words = s.words;
    return;
  }
}

// ---- words ----------------------------------------------------------------------------------------------------------

std::string drill_words(const Structure& s, const JointIndex& joints, const JointPlace& place, const Lengths& lengths) {
  std::map<std::string, int> counts;
  std::vector<std::string> order;
  for (const int f : place.fixings) {
    const Fixing& x = fixing(s, f);
    std::string words = x.item;
    if (x.sunk > 0)
      words += fmt::format(", head let in {} (Ø {})", lengths.brief(x.sunk), lengths.exact(x.across_head));
    for (std::size_t nth = 0; nth < x.through.size() && !timber::is_connector(x.kind); ++nth) {
      const Body b = x.through[nth];
      if (b.kind != Body::Kind::piece) continue;
      for (const marking::Drilling& d : marking::drillings(s, joints, PieceId{b.index}, {f})) {
        if (d.nth != nth) continue;
        if (d.hole.diameter <= 0) {
          words += fmt::format(", not drilled in {}", partner(s, b));
          continue;
        }
        words += fmt::format(", Ø {} in {}", lengths.exact(d.hole.diameter), partner(s, b));
        if (!d.hole.through) words += fmt::format(" {} deep", lengths.brief(std::round(d.hole.depth)));
      }
    }
    if (++counts[words] == 1) order.push_back(words);
  }
  std::string out;
  for (const std::string& words : order) out += fmt::format("{}{} × {}", out.empty() ? "" : "; ", counts[words], words);
  return out;
}

/// The least of each timber: from its end and from an edge, square to the fixing.
std::string distance_words(const Structure& s, const JointIndex& joints, const JointPlace& place,
                           const Lengths& lengths) {
  std::string out;
  for (const Body b : place.bodies) {
    if (b.kind != Body::Kind::piece) continue;
    const Piece& piece = s[PieceId{b.index}];
    double end = std::numeric_limits<double>::infinity(), edge = end;
    for (const marking::Drilling& d : marking::drillings(s, joints, PieceId{b.index}, place.fixings)) {
      if (norm(fixing(s, d.fixing).leg) > 0) continue;  // a bracket lies over the corner
      const Vec3 at = d.hole.entry, way = d.hole.direction;
      const auto from = [](double c, double size) { return std::min(c, size - c); };
      if (std::abs(way.x) < 0.9) end = std::min(end, from(at.x, piece.length.value()));
      if (std::abs(way.y) < 0.5) edge = std::min(edge, from(at.y, piece.width.value()));
      if (std::abs(way.z) < 0.5) edge = std::min(edge, from(at.z, piece.thickness.value()));
    }
    std::string words;
    if (end < kFarEnd) words = lengths.brief(end) + " from the end";
    if (edge < kFarEnd) words += (words.empty() ? "" : " and ") + lengths.brief(edge) + " from an edge";
    if (!words.empty()) out += fmt::format("{}{} {}", out.empty() ? "" : "; ", partner(s, b), words);
  }
  return out;
}

std::string notch_words(const Structure& s, const JointPlace& place, const Lengths& lengths) {
  std::string out;
  for (const Body b : place.bodies) {
    if (b.kind != Body::Kind::piece) continue;
    for (const Machining& m : s[PieceId{b.index}].machining) {
      const auto* notch = std::get_if<Notch>(&m);
      if (notch == nullptr || std::find(place.bodies.begin(), place.bodies.end(), notch->against) == place.bodies.end())
        continue;
      out += fmt::format(" {} {} {} wide and {} deep.", partner(s, b),
                         notch->kind == Notch::Kind::birds_mouth ? "has a bird's mouth" : "is notched",
                         lengths.brief(notch->wide.value()), lengths.brief(notch->deep.value()));
    }
  }
  return out;
}

std::string title_of(const Structure& s, const JointSort& sort) {
  std::string words = sort.numeral + "  ";
  for (const Body b : sort.example().bodies) {
    if (b != sort.example().bodies.front()) words += " to ";
    words += b.kind == Body::Kind::piece   ? s[PieceId{b.index}].name
             : b.kind == Body::Kind::panel ? "panel"
                                           : describe(s, b);
  }
  words += fmt::format(": {}, {} {}", name(s[sort.example().joint].kind), sort.places.size(),
                       sort.places.size() == 1 ? "place" : "places");
  return words;
}

void draw_sort(Flow& flow, const Brief& brief, std::size_t structure, const JointIndex& joints, const JointSort& sort) {
  const Structure& whole = brief.plan.garden.structures[structure];
  const JointPlace& place = sort.example();
  const Lengths& lengths = brief.lengths;
  const std::vector<int> order = driven_in_order(brief.plan, structure, place.fixings);
  const Shown shown = shown_of(whole, order);
  JointPlace drawn = place;
  drawn.fixings = shown.fixings;
  std::string words = drill_words(whole, joints, place, lengths) + "." + notch_words(whole, place, lengths);
  if (const std::string d = distance_words(whole, joints, place, lengths); !d.empty())
    words += " Least distances: " + d + ".";
  if (shown.fixings.size() < order.size())
    words += fmt::format(" Drawn: {} of the {}; where each comes stands in the marking out.", shown.fixings.size(),
                         order.size());
  if (shown.fixings.size() > 1) words += " Drive them in the order of their numbers.";
  const double width = flow.area().width();
  const double height = 7 + kHigh + 2 + block_height(words, width, kBody) + 4;
  flow.ensure(height);
  const Near near = near_of(whole, drawn, shown.centre, reach_of(whole, drawn, shown.centre));
  // Its sizes are read off the view square on: no more timber there than is needed, so that it is drawn large.
  double round_fixings = 0;
  for (const int f : shown.fixings)
    round_fixings = std::max(round_fixings, norm(fixing(whole, f).head - shown.centre) + kRound);
  const Near nearest = near_of(whole, drawn, shown.centre, round_fixings);
  const solid::View view = towards_heads(whole, drawn);
  const double left = flow.area().left, top = flow.y() + 7, bottom = top + kHigh;
  Group group{"joint " + sort.numeral, {}};
  std::string scale;
  const double second = left + kMarks + 2 + kClosed + 3, third = second + kNumbers + 2 + kApart + 3;
  draw_closed(group.items, whole, drawn, near, view, {left, top, second - 3, bottom});
  draw_apart(group.items, whole, drawn, near, shown.fixings, view, {second, top, third - 3, bottom});
  draw_square_on(group.items, whole, drawn, nearest, lengths, {third, top, flow.area().right, bottom}, scale);
  const Rect at =
      write(flow.items(), scale, {flow.area().right, flow.y() + kCapHeight * 4}, kBody, Lettering::plain, 1);
  write(flow.items(), shortened(title_of(whole, sort), at.left - left - 4, 4, Lettering::bold),
        {left, flow.y() + kCapHeight * 4}, 4, Lettering::bold);
  flow.items().push_back({std::move(group)});
  write_block(flow.items(), words, {left, bottom + 2}, width, kBody);
  flow.down(height - 2);
  line(flow.items(), {left, flow.y()}, {flow.area().right, flow.y()}, kHair);
  flow.down(2.5);
}

}  // namespace

void draw_joints(std::vector<Sheet>& sheets, const Brief& brief) {
  int first = 1;
  for (std::size_t i = 0; i < brief.plan.garden.structures.size(); ++i) {
    const Structure& s = brief.plan.garden.structures[i];
    const std::vector<JointSort> sorts = joint_sorts(s, first);
    if (sorts.empty()) continue;
    first += static_cast<int>(sorts.size());
    Flow flow(sheets, brief, "joints", brief.plan.garden.structures.size() > 1 ? s.name + ": joints" : "Joints",
              Turned::portrait, 90);
    flow.scale("as drawn");
    flow.paragraph(
        "Every kind of joint once: closed, drawn apart, and square on from the heads of its fixings with their places. "
        "Timbers are broken off near it. The Roman figures are those on the elevations.");
    flow.down(2);
    const JointIndex joints(s);
    for (const JointSort& sort : sorts) draw_sort(flow, brief, i, joints, sort);
  }
}

}  // namespace garthwright::sheets
