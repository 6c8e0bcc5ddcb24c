// SPDX-License-Identifier: Apache-2.0
#include "pattern/shelves.h"

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>

#include "base/source_dir_for_tests.h"

namespace garthwright::pattern {
namespace {

/// A folder as a person may have it: a catalogue of their own, and jobs beside it.
class OwnFolder : public testing::Test {
 protected:
  void SetUp() override {
    std::filesystem::create_directory(folder_);
    std::filesystem::copy_file(std::string(source_dir()) + "/catalogues/harrow-lane.toml",
                               folder_ / "harrow-lane.toml");
    std::ofstream(folder_ / "arbor.toml") << "format = 1\ntitle = \"Arbor\"\n";
    std::ofstream(folder_ / "broken.toml") << "[[[";
  }
  void TearDown() override { std::filesystem::remove_all(folder_); }
  std::filesystem::path folder_ = std::filesystem::path(testing::TempDir()) / "shelves_test";
};

TEST_F(OwnFolder, NoJobIsOfferedWhereAYardIsMissing) {
  const Result<ShelfFile> file = read_from_shelf({folder_.string()}, "nowhere", ".toml", "catalogue");
  ASSERT_FALSE(file);
  EXPECT_EQ(file.error().front().what, "there is no catalogue \"nowhere\"");
  EXPECT_EQ(file.error().front().cure, "known is harrow-lane");
  EXPECT_EQ(list_shelf({folder_.string()}, ".toml"), "are harrow-lane");
}

}  // namespace
}  // namespace garthwright::pattern
