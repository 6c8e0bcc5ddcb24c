// SPDX-License-Identifier: Apache-2.0
#include "cutting/dense_inverse.h"

#include <gtest/gtest.h>

#include <Eigen/Dense>
#include <random>

namespace garthwright::cutting {
namespace {

SparseColumns columns_of(const Eigen::MatrixXd& matrix) {
  SparseColumns columns;
  for (int c = 0; c < matrix.cols(); ++c) {
    for (int r = 0; r < matrix.rows(); ++r)
      if (matrix(r, c) != 0) columns.add(r, matrix(r, c));
    columns.close();
  }
  return columns;
}

// Column by column, by unit vectors.
Eigen::MatrixXd written_out(const DenseInverse& inverse, int n) {
  Eigen::MatrixXd out(n, n);
  for (int c = 0; c < n; ++c) {
    std::vector<double> unit(n, 0.0);
    unit[c] = 1;
    inverse.forward(unit);
    out.col(c) = Eigen::Map<const Eigen::VectorXd>(unit.data(), n);
  }
  return out;
}

TEST(DenseInverse, IsTheInverseByHand) {
  Eigen::Matrix2d matrix;
  matrix << 0, 2,  //
      4, 1;
  DenseInverse inverse;
  ASSERT_TRUE(inverse.invert(columns_of(matrix)).empty());
  Eigen::Matrix2d expected;
  expected << -0.125, 0.25,  //
      0.5, 0;
  EXPECT_TRUE(written_out(inverse, 2).isApprox(expected, 1e-14));
}

// Against Eigen's inverse, anew and after many exchanges of columns; rows of the inverse as well.
TEST(DenseInverse, FollowsExchangesLikeEigen) {
  std::mt19937 random(5);
  for (const int n : {1, 3, 8, 17, 32}) {
    Eigen::MatrixXd matrix = Eigen::MatrixXd::Zero(n, n);
    for (int c = 0; c < n; ++c) {
      matrix(n - 1 - c, c) = 3;  // no pivot stands on the diagonal where n is even
      matrix(static_cast<int>(random() % n), c) += 1;
    }
    DenseInverse inverse;
    ASSERT_TRUE(inverse.invert(columns_of(matrix)).empty());
    for (int exchange = 0; exchange <= 60; ++exchange) {
      const Eigen::MatrixXd expected = matrix.inverse();
      const double scale = 1 + expected.lpNorm<Eigen::Infinity>();
      EXPECT_LT((written_out(inverse, n) - expected).lpNorm<Eigen::Infinity>(), 1e-8 * scale) << n << " rows";
      std::vector<double> last(n, 0.0);
      last[n - 1] = 1;
      inverse.backward(last);
      const Eigen::Map<const Eigen::RowVectorXd> row(last.data(), n);
      EXPECT_LT((row - expected.row(n - 1)).lpNorm<Eigen::Infinity>(), 1e-8 * scale) << n << " rows";

      Eigen::VectorXd column = Eigen::VectorXd::Zero(n);
      for (int k = 0; k < 3; ++k) column(static_cast<int>(random() % n)) += 1 + static_cast<double>(random() % 3);
      std::vector<double> alpha(column.begin(), column.end());
      inverse.forward(alpha);
      const int at = static_cast<int>(random() % n);
      if (std::abs(alpha[at]) < 0.1) continue;
      inverse.exchange(at, alpha);
      matrix.col(at) = column;
    }
  }
}

TEST(DenseInverse, WhatIsLeftOutStandsForItsRow) {
  Eigen::Matrix3d matrix;
  matrix << 1, 2, 1,  //
      1, 2, 0,        //
      0, 0, 1;
  DenseInverse inverse;
  const auto left_out = inverse.invert(columns_of(matrix));
  ASSERT_EQ(left_out.size(), 1U);
  const auto [column, row] = left_out.front();
  inverse.stand_in(column, -1);
  matrix.col(column).setZero();
  matrix(row, column) = -1;
  EXPECT_TRUE(written_out(inverse, 3).isApprox(matrix.inverse(), 1e-12));
}

}  // namespace
}  // namespace garthwright::cutting
