// SPDX-License-Identifier: Apache-2.0
//
// The loads of a site on a frame, one case for each action.
#pragma once

#include "strength/model.h"
#include "structure/check.h"
#include "structure/site.h"

namespace garthwright::strength {

struct Growth {
  double summer = 0, winter = 0;  ///< solidity of the plant alone
  double kg_m2 = 0, years = 1;
  bool evergreen = false, any = false;
};
Growth growth_of(const Site& site);

/// Pressure on a thing of force coefficient 1, N/mm², at the structure's top: EN 1991-1-4 (4.8); ASCE 7-16 (26.10-1)
/// with the gust factor 26.11.1.
double wind_pressure(const Site& site, double top_mm);

class SiteLoads {
 public:
  SiteLoads(const Structure& structure, const Model& model, const Site& site);

  frame::Loads dead() const;
  frame::Loads plant(double coverage) const;
  frame::Loads snow() const;
  /// Along a unit vector; `plant_solidity` 0 for bare.
  frame::Loads wind(Vec3 along, double plant_solidity, double coverage) const;
  frame::Loads lift(bool grown) const;
  struct Person {
    State state;
    frame::Loads loads;
  };
  std::vector<Person> persons() const;
  double top() const { return top_; }
  double roof_area_mm2() const { return roof_area_; }

 private:
  void spread(frame::Loads& loads, const std::vector<PieceId>& on, double low_z, double high_z, Vec3 force) const;
  const Structure& s_;
  const Model& m_;
  const Site& site_;
  Growth growth_;
  double top_ = 0, pressure_ = 0, roof_area_ = 0, roof_solid_ = 0, roof_length_ = 0, gap_ = 0;
  Box roof_box_;
  std::vector<PieceId> roof_;
};

}  // namespace garthwright::strength
