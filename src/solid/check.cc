// SPDX-License-Identifier: Apache-2.0
#include <fmt/core.h>

#include <algorithm>
#include <map>

#include "solid/solid.h"
#include "structure/joint_index.h"

namespace garthwright::solid {
namespace {

constexpr double kGrazes = 2;  // mm²: less is an edge that grazes, and no joint could be made of it

using Pair = std::pair<Body, Body>;

Pair in_order(Body a, Body b) { return a < b ? Pair{a, b} : Pair{b, a}; }

bool solid_body(Body b) { return b.kind == Body::Kind::piece || b.kind == Body::Kind::panel; }

class Check {
 public:
  Check(const Structure& structure, const Solids& solids) : structure_(structure), solids_(solids) {}

  Diagnostics run() {
    found_ = solids_.diagnostics();
    clashes();
    touching();
    joints();
    return std::move(found_);
  }

 private:
  std::string who(Body b) const { return describe(structure_, b); }

  void say(const char* code, std::string what, std::string cure, Body about) {
    found_.push_back({Severity::error, code, std::move(what), std::move(cure), {{}, 0, 0, who(about)}});
  }

  void clashes() {
    for (const Clash& clash : solids_.clashes()) {
      say("clash",
          fmt::format("{} and {} share {:.2f} cm³ of space", who(clash.a), who(clash.b), clash.volume_mm3 / 1000),
          "move one of them, or notch one over the other", clash.a);
    }
  }

  // Contacts without a joint, a line for each pair.
  void touching() {
    std::vector<Pair> joined;
    for (const Joint& joint : structure_.joints) joined.push_back(in_order(joint.a, joint.b));
    std::sort(joined.begin(), joined.end());
    std::map<Pair, double> bare;
    for (const Contact& contact : solids_.contacts()) {
      touch_.push_back(in_order(contact.a, contact.b));
      if (!std::binary_search(joined.begin(), joined.end(), touch_.back())) bare[touch_.back()] += contact.area_mm2;
    }
    std::sort(touch_.begin(), touch_.end());
    for (const auto& [pair, area] : bare) {
      if (area < kGrazes) continue;
      say("no-joint",
          fmt::format("{} touches {} over {:.0f} mm² without a joint", who(pair.first), who(pair.second), area),
          "join them and fix the joint, or declare it bare with a reason", pair.first);
    }
  }

  void joints() {
    const JointIndex index(structure_);
    for (std::size_t i = 0; i < structure_.joints.size(); ++i) {
      const Joint& joint = structure_.joints[i];
      const auto text = [&] {
        return fmt::format("{} joint of {} and {}", name(joint.kind), who(joint.a), who(joint.b));
      };
      const bool founded = joint.kind == JointKind::in_ground || joint.kind == JointKind::on_shoe;
      if (!founded && !joint.bare && !index.is_fixed(JointId{static_cast<int>(i)})) {
        say("no-fixing", text() + " has no fixing", "fix it, or declare it bare with a reason", joint.a);
      }
      const bool both = solid_body(joint.a) && solid_body(joint.b) && joint.kind != JointKind::hinged;
      if (both && !std::binary_search(touch_.begin(), touch_.end(), in_order(joint.a, joint.b))) {
        say("no-contact", text() + ": the two do not touch", "put them face to face over at least 1 mm²", joint.a);
      }
    }
  }

  const Structure& structure_;
  const Solids& solids_;
  std::vector<Pair> touch_;  ///< in order
  Diagnostics found_;
};

}  // namespace

Diagnostics check(const Structure& structure, const Solids& solids) { return Check(structure, solids).run(); }

}  // namespace garthwright::solid
