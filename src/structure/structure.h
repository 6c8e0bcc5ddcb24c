// SPDX-License-Identifier: Apache-2.0
//
// Start here. A Structure is what stands in the garden, as plain data: timbers, how each is machined, how they are
// joined, what fixes them, what was bought ready made, and the holes they stand in. Patterns build one (through
// structure/joinery.h, where joints make the machining); every study reads one and changes nothing.
//
// Frames of reference. World: mm, x to the right seen from the front, y to the back, z up, z = 0 the finished ground.
// Piece: x along the timber from its datum end, y across its width, z across its thickness, the origin at a corner, so
// that the uncut timber is the box [0, length] × [0, width] × [0, thickness].
#pragma once

#include <array>
#include <compare>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "base/diagnostic.h"
#include "base/geometry.h"
#include "base/traced.h"
#include "structure/duty.h"
#include "timber/yard.h"

namespace garthwright {

// ---- identities -----------------------------------------------------------------------------------------------------

/// Index into one of Structure's vectors.
template <class Of>
struct Id {
  int index = -1;
  auto operator<=>(const Id&) const = default;
  explicit operator bool() const { return index >= 0; }
};

struct Piece;
struct Panel;
struct Joint;
using SectionId = Id<timber::Section>;
using PieceId = Id<Piece>;
using PanelId = Id<Panel>;
using JointId = Id<Joint>;

/// A thing with a solid: a timber, a bought panel, or (as a partner in a joint only) the ground or a wall.
struct Body {
  enum class Kind { piece, panel, ground, wall };
  Kind kind = Kind::piece;
  int index = -1;
  auto operator<=>(const Body&) const = default;
};
inline Body body(PieceId id) { return {Body::Kind::piece, id.index}; }
inline Body body(PanelId id) { return {Body::Kind::panel, id.index}; }
inline constexpr Body kGround{Body::Kind::ground, -1};
inline constexpr Body kWall{Body::Kind::wall, -1};

// ---- machining ------------------------------------------------------------------------------------------------------

enum class End { start, finish };

/// The six faces of the uncut timber, in piece coordinates: the edges are the two narrow long faces (y = 0, y = width),
/// the sides the two wide ones (z = 0, z = thickness).
enum class Face { edge_low, edge_high, side_low, side_high, start, finish };

/// Unit vector out of a face, and the face that looks along a vector, both in piece coordinates.
Vec3 outward(Face face);
Face face_looking(Vec3 local);

/// A flat cut through a whole end. The plane passes through `point`; `normal` points to the waste.
struct EndCut {
  End end = End::start;
  Vec3 point, normal;
};

/// One stroke of an outline in the plane of the wide side: x along the piece, y across its width.
struct Stroke {
  enum class Kind { line, arc, cubic };
  Kind kind = Kind::line;
  double x = 0, y = 0;                        ///< where it ends
  double centre_x = 0, centre_y = 0;          ///< arc only
  bool clockwise = false;                     ///< arc only, seen against the piece's z
  double c1x = 0, c1y = 0, c2x = 0, c2y = 0;  ///< cubic (Bézier) only: its two handles
};

/// A shaped end, sawn through the whole thickness along a path of strokes from one edge of the piece to the other.
/// Everything beyond the path (towards the end) is waste.
struct ShapedEnd {
  End end = End::start;
  std::string profile;  ///< "ogee", "cove", …
  double start_x = 0, start_y = 0;
  std::vector<Stroke> strokes;
};

/// What is sawn out of a face, in piece coordinates, kept within the timber: halvings, notches, housings. `opens_on` is
/// the face the tape meets it on; `from` is the near shoulder from the datum end, with its derivation. Two kinds run
/// through the whole thickness and are less than the box around them: of a bird's mouth two flat cuts meet at `corner`,
/// as deep as the box; a hollow is an arc from one side of the box to the other, and is against nothing.
struct Notch {
  enum class Kind { halving, notch, housing, birds_mouth, hollow };
  Kind kind = Kind::notch;
  Box region;
  double corner = 0;  ///< of a bird's mouth, along the piece
  Face opens_on = Face::edge_low;
  Body against;
  Traced from, wide, deep;
};

/// A round hole from `entry` along `direction` (unit, into the timber).
struct Hole {
  enum class Kind { bolt, clearance, pilot, counterbore, drain };
  Kind kind = Kind::pilot;
  Vec3 entry, direction;
  double diameter = 0;
  double depth = 0;
  bool through = false;
};

using Machining = std::variant<EndCut, ShapedEnd, Notch, Hole>;

// ---- pieces ---------------------------------------------------------------------------------------------------------

/// What the trade calls a piece's place in the work; used for words, colours and handling. What it is for is its Duty.
enum class Role { post, rail, frame, beam, fascia, rafter, purlin, batten, brace, ledger, cap, board, other };

std::string_view name(Role role);

/// Which sizes of a piece are drawn and may be taken hold of: both faces in the chain of sizes, its middle in a row of
/// its like, or its underside (from above: its outer faces).
enum class Show { nothing, faces, middle, underside };

std::string_view name(Show show);
/// What is shown of a role where a pattern does not say.
Show usual_show(Role role);

/// One timber, cut and machined. Length is long point to long point, as a tape laid along the timber reads it.
struct Piece {
  std::string name;   ///< "post": what the trade calls it; pieces of one name share a letter
  std::string where;  ///< "left front": which of them it is
  std::string mark;   ///< "A1": equal pieces share one; given by assign_marks
  std::string group;  ///< assembly it belongs to: "left side"
  int part = 0;       ///< whose it is where parts share posts: 0 the structure's own, k + 1 of Structure::guests[k]
  Role role = Role::other;
  Duties duties;
  Show show = Show::nothing;
  bool carries = true;  ///< false: its own weight and wind are all that is reckoned of it, on what holds it
  SectionId section;
  Traced length, width, thickness;
  Frame frame;                   ///< piece → world
  std::array<Traced, 3> corner;  ///< least world x, y, z of the uncut timber, traced; plain where it stands askew
  std::vector<Machining> machining;
  bool laps = false;              ///< stands with what it covers, as thick as boards that lap build up
  bool straight = false;          ///< to be picked for straightness at the yard
  std::vector<double> joins_at;   ///< where it may be made of two, mm from its datum end; mostly nowhere
  bool ground_contact = false;    ///< stands in or touches the ground
  bool measure_in_place = false;  ///< cut only when its neighbours stand
  std::string note;               ///< "of which 134 mm hidden behind the frame"

  Box blank() const { return {{0, 0, 0}, {length.value(), width.value(), thickness.value()}}; }
};

/// A ready-made panel as delivered, in its place; local x across its width, y up its height, z through its thickness.
struct Panel {
  std::string name;
  std::string group;
  std::string item;  ///< the yard's name for it; empty when a person gave the size only
  Traced width, height, thickness;
  double mass_kg = 0;
  double solidity = 1;
  Duties duties{};
  Frame frame;
  std::array<Traced, 3> corner;     ///< least world x, y, z, traced
  int part = 0;                     ///< whose it is, as a piece's
  double lath_mm = 0, mesh_mm = 0;  ///< as the yard says (timber::PanelItem); 0 where it does not

  Box blank() const { return {{0, 0, 0}, {width.value(), height.value(), thickness.value()}}; }
};

// ---- joints, fixings, ground ----------------------------------------------------------------------------------------

enum class JointKind { butt, face, halving, notch, housing, mitre, cap, panel, in_ground, on_wall, hinged, on_shoe };

std::string_view name(JointKind kind);

/// Two bodies that touch over `patch`. Machining has already been given to both; `point` (the middle of the patch) and
/// `normal` (from a to b, unit, world) are for the studies. A joint that no fixing goes through must be declared bare.
struct Joint {
  JointKind kind = JointKind::butt;
  Body a, b;
  std::vector<Vec3> patch;  ///< convex, world; empty against the ground or a wall
  Vec3 point, normal;
  bool bare = false;
  std::string why_bare;
};

/// One screw, bolt or nail in its place: the underside of its head at `head`, driven along `direction` (unit, world).
/// It fixes every joint between two bodies that it goes through. A bracket lies with one leg on the first body and the
/// other, along `direction`, on the next. Its holes are drilled when the pieces are together, so
/// they are no machining of a piece; drilling.h tells where they come.
struct Fixing {
  std::string item;  ///< the yard's name for it
  timber::FixingKind kind = timber::FixingKind::screw;
  std::vector<Body> through;  ///< from the head to the point
  Vec3 head, direction;
  double diameter = 0, length = 0;
  double sunk = 0;         ///< how deep the head is let in (a counterbore), mm
  double clearance = 0;    ///< hole under the head (a bolt's whole hole), mm
  double pilot = 0;        ///< hole for the thread, mm; 0 where none is drilled
  double across_head = 0;  ///< diameter of the head or of the washer under it, mm
  timber::FixingMake make{};
  Vec3 leg{};  ///< of a part bent over a corner, its fold at `head`: the way its first leg lies along the first body
  int connection = -1;  ///< index into Structure::connections
};

/// How joints that are made alike are fixed: "rail to post". The fixings of each are one of these candidates, as a job
/// writes them in [structure.fixings] ("2 x coach screw M10": of that size, the yard's shortest that suits).
struct Connection {
  std::string name;
  std::vector<std::string> candidates;  ///< what the pattern would take first; then the stronger, least first; the rest
  std::string taken;                    ///< one of them, or what the job gives; "" where a pattern gave kind and count
  bool given = false;                   ///< by the job
};

/// "2 x coach screw M10" in its parts; `count` 0 where it leaves the number to the pattern.
struct FixingText {
  int count = 0;
  std::string item;
};
FixingText parse_fixing_text(std::string_view text);

/// A hole in the ground with a post in it, or filled to make a pad with a post on a metal shoe. `centre` is on the
/// ground surface.
struct Footing {
  PieceId post;
  Vec3 centre;
  double diameter = 0;
  double depth = 0;   ///< of the whole hole
  double gravel = 0;  ///< compacted under the post, part of depth
  std::string fill = "postmix";
  std::string shoe{};              ///< the yard's name for it; empty: the post stands in the hole
  timber::FixingMake shoe_make{};  ///< what its maker declares
};

/// What is below what stands loose.
enum class Floor { ground, paving, deck };
std::string_view name(Floor floor);

/// A face of a timber that stands loose on the ground or on a floor, by the weight on it alone.
struct Foot {
  PieceId piece;
  std::vector<Vec3> face;  ///< convex, world; it looks down
  Floor on = Floor::ground;
};

/// A set of pieces made as one before they are put up (a side, a frame), whose squareness is checked by its diagonals.
struct Assembly {
  std::string name;
  std::vector<Body> bodies;
  bool flat = false;  ///< lies in one plane: has two diagonals
};

/// A leaf that turns about an upright line, as a gate does. It is built and drawn shut.
struct Swing {
  std::string name;            ///< "gate leaf"
  std::vector<Body> leaf;      ///< what turns
  Body on;                     ///< the post its hinges are on
  Vec3 axis;                   ///< a point of the line it turns about, at the lowest hinge
  std::vector<double> levels;  ///< of its hinges, rising
  double opens_deg = 0;        ///< how far it turns; anticlockwise seen from above, below 0 clockwise
};

/// Something bought by the piece that holds no joint of timbers: a hinge, a latch, a bolt.
struct Item {
  std::string name;  ///< the yard's name for it
  Body on;
};

/// A choice as it was taken, for the plan to show.
struct Choice {
  std::string name;
  std::string text;  ///< as printed when it is not a number: section, profile, yes/no
  std::optional<Traced> value;
  std::string source;          ///< "job" or "default"
  double least = 0, most = 0;  ///< what the pattern allows; 0 and 0 where it is not a number
};

/// A post that a part shares, as the part calls it: "left post".
struct SharedAs {
  std::string called;
  PieceId post;  ///< the real one
};

/// One of several parts that share posts and so are one structure.
struct Part {
  std::string name;  ///< the job's name for it
  std::string pattern;
  Vec3 at;  ///< its own place in the garden
  double turn_deg = 0;
  int order = 0;  ///< of the job's structures, from 0
  std::vector<Choice> choices;
  std::vector<SharedAs> posts{};
};

struct Structure {
  std::string name;     ///< the job's name for it
  std::string pattern;  ///< the recipe it came from
  Vec3 at;              ///< where its origin stands in the garden
  double turn_deg = 0;  ///< about z, seen from above, anticlockwise
  int order = 0;        ///< of the job's structures, from 0
  std::string climber;  ///< what grows on what carries a climber; empty: what the site says
  std::vector<Choice> choices;
  std::vector<timber::Section> sections;  ///< actual sizes, measured ones included
  std::vector<Piece> pieces;
  std::vector<Panel> panels;
  std::vector<Joint> joints;
  std::vector<Fixing> fixings;
  std::vector<Connection> connections;
  std::vector<Footing> footings;
  std::vector<Foot> feet;
  double soil_kg_m3 = 0;  ///< of what fills it, dry: what surely weighs it down; 0: nothing does
  std::vector<Assembly> assemblies;
  std::vector<Swing> swings;
  std::vector<Item> items;
  std::vector<Part> guests;  ///< parts that share posts with it and are in it, beside its own

  const Piece& operator[](PieceId id) const { return pieces[static_cast<std::size_t>(id.index)]; }
  Piece& operator[](PieceId id) { return pieces[static_cast<std::size_t>(id.index)]; }
  const Panel& operator[](PanelId id) const { return panels[static_cast<std::size_t>(id.index)]; }
  Panel& operator[](PanelId id) { return panels[static_cast<std::size_t>(id.index)]; }
  const Joint& operator[](JointId id) const { return joints[static_cast<std::size_t>(id.index)]; }
  Joint& operator[](JointId id) { return joints[static_cast<std::size_t>(id.index)]; }
  const timber::Section& operator[](SectionId id) const { return sections[static_cast<std::size_t>(id.index)]; }
};

/// A piece's section as it is bought and listed: of a ripped board, what is left of its width.
struct SoldSize {
  double width_mm = 0, thickness_mm = 0;
};
SoldSize sold_size(const Structure& structure, const Piece& piece);

/// Whether anything is there for this.
bool any_for(const Structure& structure, Duty duty);
/// Whether a piece stands in a hole.
bool is_founded(const Structure& structure, PieceId piece);
/// The joint between two bodies, in either order; none when they have not been joined.
JointId joint_between(const Structure& structure, Body a, Body b);
/// Whether it is a bird's mouth or a hollow: a path in the plane of the wide side.
bool is_through_thickness(const Notch& notch);
/// The radius of a hollow: its chord is as long as the box, its rise as high.
double radius_of(const Notch& hollow);
/// The fixings that go through both bodies of the joint, as indices into Structure::fixings; and whether there is any.
std::vector<int> fixings_of(const Structure& structure, const Joint& joint);
bool is_fixed(const Structure& structure, const Joint& joint);

/// Where a body stands and the box it was cut from (ground and wall have none: programming error).
const Frame& frame_of(const Structure& structure, Body body);
Box blank_of(const Structure& structure, Body body);
/// "left back post A1", "panel left trellis", "the ground": for people.
std::string describe(const Structure& structure, Body body);
/// World box around the uncut body.
Box world_box(const Frame& frame, const Box& local);
Box world_box(const Structure& structure, Body body);

}  // namespace garthwright
