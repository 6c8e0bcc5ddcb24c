// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "frame/assembly.h"

namespace garthwright::frame {

struct Solver::Parts {
  Frame frame;
  Options options;
  Unknowns unknowns;
  std::vector<Axes> axes;
  std::vector<Element> elements;
  std::vector<LooseTurn> loose_turns;
  std::vector<std::array<std::pair<Row, double>, 3>> links;
  std::vector<Row> contacts;
  Sparse stiffness;  ///< with all contacts closed, as if they could pull; empty where parts with contacts may be loose
  Factors factors;   ///< of `stiffness`
  Eigen::VectorXd diagonal;              ///< of the same
  std::optional<Stiffness> open_blocks;  ///< with all contacts open; only where there are contacts
};

/// What a contact pushes with that has come in by so many mm since it shut; nothing below 0.
double push_of(const Contact& contact, double come_in, double crushing);

/// Greatest size along an axis.
double extent(const Frame& frame);

/// Faults of a load case: it points nowhere, is not a number, or pushes on what nothing holds.
Diagnostics check_loads(const Frame& frame, const Loads& loads);
Diagnostics check_held(const Solver::Parts& parts, const Loads& loads);

/// Uniform loads of a case, member by member, in the members' own axes.
std::vector<Vec3> uniform_in_members(const Frame& frame, const std::vector<Axes>& axes, const Loads& loads);

/// Forces that a case puts on the nodes themselves (global axes).
std::vector<Eigen::Matrix<double, 6, 1>> loads_on_nodes(const Frame& frame, const Loads& loads);

/// Takes from the nodes' loads what links and contacts carry at these motions; the links' forces on their second
/// bodies.
void less_connections(const Solver::Parts& parts, const std::vector<Eigen::Matrix<double, 6, 1>>& nodes,
                      double crushing, std::vector<Eigen::Matrix<double, 6, 1>>& rest);
std::vector<Vec3> link_forces(const Solver::Parts& parts, const std::vector<Eigen::Matrix<double, 6, 1>>& nodes);

/// Displacement of every node from the unknowns.
std::vector<Eigen::Matrix<double, 6, 1>> spread(const Unknowns& unknowns, const Eigen::VectorXd& x);

}  // namespace garthwright::frame
