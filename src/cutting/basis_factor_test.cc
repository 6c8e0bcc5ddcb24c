// SPDX-License-Identifier: Apache-2.0
#include "cutting/basis_factor.h"

#include <gtest/gtest.h>

#include <Eigen/Dense>
#include <random>

namespace garthwright::cutting {
namespace {

// Columns of a few small integers, as patterns give: regular almost always.
Eigen::MatrixXd some_basis(int n, std::mt19937& random) {
  Eigen::MatrixXd basis = Eigen::MatrixXd::Zero(n, n);
  for (int c = 0; c < n; ++c) {
    basis(c, c) = 1 + static_cast<double>(random() % 3);
    for (int extra = 0; extra < 3; ++extra) basis(static_cast<int>(random() % n), c) += random() % 2 == 0 ? 1 : 2;
  }
  return basis;
}

BasisFactor::Columns columns_of(const Eigen::MatrixXd& matrix) {
  BasisFactor::Columns columns;
  for (int c = 0; c < matrix.cols(); ++c) {
    for (int r = 0; r < matrix.rows(); ++r)
      if (matrix(r, c) != 0) columns.add(r, matrix(r, c));
    columns.close();
  }
  return columns;
}

std::vector<double> some_vector(int n, std::mt19937& random) {
  std::vector<double> v(n);
  for (double& x : v) x = random() % 3 == 0 ? static_cast<double>(random() % 100) / 10 : 0;
  return v;
}

double distance(const std::vector<double>& a, const Eigen::VectorXd& b) {
  return (Eigen::Map<const Eigen::VectorXd>(a.data(), static_cast<Eigen::Index>(a.size())) - b)
      .lpNorm<Eigen::Infinity>();
}

// Against Eigen's full-pivoting dense factors, anew and after many exchanges of columns.
TEST(BasisFactor, SolvesLikeEigen) {
  std::mt19937 random(11);
  for (const int n : {1, 2, 5, 12, 32, 33, 40, 80}) {
    for (int round = 0; round < 8; ++round) {
      Eigen::MatrixXd basis = some_basis(n, random);
      const Eigen::FullPivLU<Eigen::MatrixXd> start(basis);
      if (!start.isInvertible() || start.rcond() < 1e-7) continue;
      BasisFactor factor;
      ASSERT_TRUE(factor.factor(columns_of(basis), [](int) { return 1.0; }).empty());
      for (int exchange = 0; exchange <= 30; ++exchange) {
        const Eigen::FullPivLU<Eigen::MatrixXd> exact(basis);
        const std::vector<double> right = some_vector(n, random);
        const Eigen::Map<const Eigen::VectorXd> b(right.data(), n);
        std::vector<double> forward = right, backward = right;
        factor.forward(forward);
        factor.backward(backward);
        const Eigen::VectorXd x = exact.solve(b), y = basis.transpose().fullPivLu().solve(b);
        const double scale = 1 + x.lpNorm<Eigen::Infinity>() + y.lpNorm<Eigen::Infinity>();
        EXPECT_LT(distance(forward, x), 1e-7 * scale) << n << " rows, exchange " << exchange;
        EXPECT_LT(distance(backward, y), 1e-7 * scale) << n << " rows, exchange " << exchange;

        std::vector<double> column = some_vector(n, random);
        std::vector<double> alpha = column;
        factor.forward(alpha);
        const int at = static_cast<int>(random() % n);
        if (std::abs(alpha[at]) < 1e-2) continue;
        factor.exchange(at, alpha);
        basis.col(at) = Eigen::Map<const Eigen::VectorXd>(column.data(), n);
      }
    }
  }
}

TEST(BasisFactor, LeavesOutColumnsThatDependOnOthers) {
  Eigen::MatrixXd basis(3, 3);
  basis << 1, 2, 1,  //
      1, 2, 0,       //
      0, 0, 1;
  BasisFactor factor;
  const auto left_out = factor.factor(columns_of(basis), [](int) { return 1.0; });
  ASSERT_EQ(left_out.size(), 1U);
  const auto [column, row] = left_out.front();
  basis.col(column).setZero();
  basis(row, column) = 1;
  std::vector<double> v{4, 5, 6};
  factor.forward(v);
  EXPECT_LT(distance(v, basis.fullPivLu().solve(Eigen::Vector3d(4, 5, 6))), 1e-12);
}

}  // namespace
}  // namespace garthwright::cutting
