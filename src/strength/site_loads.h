// SPDX-License-Identifier: Apache-2.0
//
// The loads of a site on a frame, one case for each action.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "strength/duty_loads.h"
#include "strength/model.h"
#include "strength/screens.h"
#include "strength/shelter.h"
#include "structure/check.h"
#include "structure/site.h"

namespace garthwright::strength {

struct Growth {
  double summer = 0, winter = 0;  ///< solidity of the plant alone
  double kg_m2 = 0, years = 1;
  bool evergreen = false, any = false;
};
Growth growth_of(const Site& site);

/// What stands over the timbers as the wind finds it: how much of an opening the plant fills in still air.
struct Cover {
  double plant = 0;
  bool closed = false;  ///< to be taken as a closed surface, whatever the wind
};
Cover bare();
Cover in_leaf(const Site& site, double coverage = 1);  ///< of a plant so far grown
Cover in_winter(const Site& site);

/// Pressure on a thing of force coefficient 1, N/mm², at the structure's top: EN 1991-1-4 (4.8); ASCE 7-16 (26.10-1)
/// with the gust factor 26.11.1.
double wind_pressure(const Site& site, double top_mm);
/// Speed of the gust that this is the pressure of, m/s.
double gust_speed(const Site& site, double top_mm);

class SiteLoads {
 public:
  SiteLoads(const Structure& structure, const Model& model, const Site& site);

  frame::Loads dead() const;
  frame::Loads plant(double coverage) const;
  frame::Loads soil() const { return soil_push(s_, m_, true, 0); }
  frame::Loads snow() const;
  /// With what slides and drifts off the house that it leans on; see under_a_house().
  frame::Loads snow_off_the_house() const;
  bool under_a_house() const { return !walls_.empty() && !roof_.empty(); }
  /// Sideways, along a unit vector.
  frame::Loads wind(Vec3 along, Cover cover) const;
  /// Up and down on the roof as the wind blows along: an open canopy, as far as timbers and foliage close it. EN
  /// 1991-1-4 7.3 puts the force a quarter of the roof behind its windward edge; ASCE 7-16 Figure 27.3-4 gives each
  /// half its own.
  frame::Loads lift(Vec3 along, Cover cover) const;
  frame::Loads press(Vec3 along, Cover cover) const;
  /// The same where it is worst, for the roof's own timbers and their fixings alone: edges and middle by EN
  /// 1991-1-4 7.3(5), Table 7.6, or ASCE 7-16 Figure 30.7-1 (from memory).
  frame::Loads lift_by_zones(Cover cover) const;
  frame::Loads press_by_zones(Cover cover) const;
  const std::vector<PieceId>& roof() const { return roof_; }
  std::size_t pieces() const { return s_.pieces.size(); }
  /// People, one at a time: on posts and roof, and where bodies are there for them.
  std::vector<Use> persons() const;
  double top() const { return top_; }

  /// A roof: one of the whole, or where parts that share posts have one each, of a part.
  struct Roof {
    std::vector<PieceId> layer;     ///< that snow and people lie on, rising
    std::vector<PieceId> flat;      ///< all that lies flat in it, that layer included
    std::vector<double> flat_plan;  ///< mm², of each of these
    Box box;                        ///< around the layer
    double area = 0, length = 0;    ///< mm² in plan; mm of the layer's timbers in all
    double gap = 0;                 ///< from one of them to the next, mm
    double solid = 0;               ///< of all that lies flat in it, timbers alone
    bool grows = false;             ///< a plant grows over it
    bool has(PieceId piece) const;  ///< in its layer
  };
  const std::vector<Roof>& roofs() const { return roofs_; }
  /// Part of the opening under a roof that is shut to wind along.
  double blockage(const Roof& roof, Vec3 along, Cover cover) const;

 private:
  struct Halves {
    double windward = 0, leeward = 0;  ///< coefficients
  };
  void spread(frame::Loads& loads, const std::vector<PieceId>& on, double low_z, double high_z, Vec3 force) const;
  Roof roof_of(std::optional<int> part) const;
  void on_roof(frame::Loads& loads, const Roof& roof, Vec3 along, Halves c, double solidity) const;
  void by_zones(frame::Loads& loads, const Roof& roof, double middle, double edge, double solidity) const;
  void snow_off_the_house(frame::Loads& loads, const Roof& roof, const std::function<double(Vec3)>& from_wall) const;
  static Cover over(const Panel& panel, Cover cover);
  static Cover over(const Roof& roof, Cover cover);
  double panel_solidity(const Panel& panel, Cover cover) const;
  double solidity(const Roof& roof, Cover cover) const;
  double snow_share(const Roof& roof) const;
  const Structure& s_;
  const Model& m_;
  const Site& site_;
  Growth growth_;
  std::vector<bool> founded_;  ///< of each piece: it stands in a hole
  double top_ = 0, pressure_ = 0, gust_ = 0;
  std::vector<PieceId> roof_;  ///< the layers of all roofs
  std::vector<Roof> roofs_;
  const ScreenRun* wall_with(Body screen) const;
  /// Wind on a box full of soil that stands loose is that on a body: nothing within it, and on its boards what presses
  /// on the one side and sucks on the other. None for what is neither.
  std::optional<double> on_filled(PieceId piece, Vec3 along) const;
  /// Of a post that stands by itself, by how wide and deep the wind finds it.
  double post_coefficient(PieceId post, double wide_mm, double deep_mm) const;
  std::optional<Box> filled_;            ///< around the boards of that soil
  std::vector<ScreenRun> screen_walls_;  ///< runs of screens that are a wall to the wind
  std::vector<const Joint*> walls_;      ///< joints with a house
};

}  // namespace garthwright::strength
