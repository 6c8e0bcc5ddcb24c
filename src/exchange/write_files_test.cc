// SPDX-License-Identifier: Apache-2.0
#include "exchange/write_files.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/resource.h>
#include <unistd.h>

#include <csignal>
#include <filesystem>
#include <fstream>
#include <iterator>

namespace garthwright::exchange {
namespace {

namespace fs = std::filesystem;
using testing::HasSubstr;

class WriteAll : public testing::Test {
 protected:
  WriteAll() : folder(fs::temp_directory_path() / ("write_all_" + std::to_string(::getpid()))) {
    fs::remove_all(folder);
  }
  ~WriteAll() override { fs::remove_all(folder); }

  static std::string read(const fs::path& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
  }

  std::vector<std::string> names() const {
    std::vector<std::string> found;
    for (const auto& entry : fs::directory_iterator(folder)) found.push_back(entry.path().filename());
    std::sort(found.begin(), found.end());
    return found;
  }

  Result<void> write(const std::vector<OutputFile>& files) const { return write_all(folder.string(), files); }

  fs::path folder;
};

TEST_F(WriteAll, MakesTheFolderAndLeavesOnlyWhatWasAskedFor) {
  folder /= "garden/sheets";
  ASSERT_TRUE(write({{"a.txt", "one"}, {"b.bin", std::string("\0\1\2", 3)}, {"empty", ""}}));
  EXPECT_EQ(read(folder / "a.txt"), "one");
  EXPECT_EQ(read(folder / "b.bin"), std::string("\0\1\2", 3));
  EXPECT_THAT(names(), testing::ElementsAre("a.txt", "b.bin", "empty"));
  folder = folder.parent_path().parent_path();
}

TEST_F(WriteAll, PutsFilesInFoldersOfTheirOwnAndTakesThoseBackToo) {
  ASSERT_TRUE(write({{"a", "one"}, {"templates/b", "two"}, {"templates/c", "three"}}));
  EXPECT_EQ(read(folder / "templates/c"), "three");
  EXPECT_THAT(names(), testing::ElementsAre("a", "templates"));
  // A folder stands where a file should: nothing of the second run stays, its new folder neither.
  EXPECT_FALSE(write({{"a", "new"}, {"drawings/d", "four"}, {"templates", "five"}}));
  EXPECT_THAT(names(), testing::ElementsAre("a", "templates"));
  EXPECT_EQ(read(folder / "a"), "one");
}

TEST_F(WriteAll, ReplacesOldFilesAndKeepsStrangers) {
  ASSERT_TRUE(write({{"plan", "old"}, {"stranger", "mine"}}));
  ASSERT_TRUE(write({{"plan", "new"}}));
  EXPECT_EQ(read(folder / "plan"), "new");
  EXPECT_EQ(read(folder / "stranger"), "mine");
  EXPECT_THAT(names(), testing::ElementsAre("plan", "stranger"));
}

/// A limit on the size of files stands for a full disk: the kernel cuts the write short in the same way.
class FileSizeLimit {
 public:
  explicit FileSizeLimit(rlim_t bytes) {
    std::signal(SIGXFSZ, SIG_IGN);
    ::getrlimit(RLIMIT_FSIZE, &before_);
    const rlimit limit{bytes, before_.rlim_max};
    ::setrlimit(RLIMIT_FSIZE, &limit);
  }
  ~FileSizeLimit() { ::setrlimit(RLIMIT_FSIZE, &before_); }

 private:
  rlimit before_{};
};

TEST_F(WriteAll, RunningOutOfRoomLeavesTheOldSetWhole) {
  ASSERT_TRUE(write({{"first", "old first"}, {"second", "old second"}}));
  Result<void> done;
  {
    const FileSizeLimit full(1000);
    done = write({{"first", "new first"}, {"second", std::string(5000, 'x')}, {"third", "new third"}});
  }
  ASSERT_FALSE(done);
  EXPECT_EQ(to_string(done.error().front()), (folder / "second").string() +
                                                 ": error: cannot write: File too large; make room and run again "
                                                 "[cannot-write]");
  EXPECT_EQ(read(folder / "first"), "old first");
  EXPECT_EQ(read(folder / "second"), "old second");
  EXPECT_THAT(names(), testing::ElementsAre("first", "second"));
}

TEST_F(WriteAll, AFolderInTheWayStopsTheWholeSet) {
  ASSERT_TRUE(write({{"a", "old a"}}));
  fs::create_directories(folder / "b");
  const Result<void> done = write({{"a", "new a"}, {"b", "new b"}});
  ASSERT_FALSE(done);
  EXPECT_THAT(to_string(done.error().front()), HasSubstr("Is a directory"));
  EXPECT_EQ(read(folder / "a"), "old a");
  EXPECT_THAT(names(), testing::ElementsAre("a", "b"));
}

TEST_F(WriteAll, AFileWhereTheFolderShouldBeIsSaid) {
  std::ofstream(folder) << "a file";
  const Result<void> done = write({{"a", "text"}});
  ASSERT_FALSE(done);
  EXPECT_EQ(done.error().front().code, "cannot-write");
  EXPECT_EQ(read(folder), "a file");
}

}  // namespace
}  // namespace garthwright::exchange
