// SPDX-License-Identifier: Apache-2.0
#pragma once

/// The shed: off-cuts and spare fixings that are left from one job for the next, kept in one SQLite file.
///
/// A plan reserves what it means to use, under its job's name; a confirmed cut takes it; restocking puts back what was
/// left over. Each of these is one transaction: several programs may use the file at once, and one that is killed in
/// the middle has done all or nothing. A second one waits up to ten seconds for the first.

#include <memory>
#include <string>
#include <vector>

#include "base/diagnostic.h"

namespace garthwright::shed {

enum class Kind { off_cut, fixing };

/// So many alike. Lengths are kept to the micrometre.
struct Item {
  Kind kind = Kind::off_cut;
  std::string name;      ///< the section ("4x4"), or the yard's name of the fixing ("screw 5x80")
  double length_mm = 0;  ///< off-cuts only
  int quantity = 0;

  bool operator==(const Item&) const = default;
};

/// What lies there, and how many of it are promised to a job.
struct Held {
  Item item;
  int reserved = 0;
  std::vector<std::string> jobs;  ///< that it is promised to
};

class Shed {
 public:
  /// Opens the file, made when missing with its folder. Fails with "no-shed" when the file is something else, with
  /// "shed-failed" and the system's reason when it cannot be read or made, or when another program holds it too long.
  static Result<Shed> open(const std::string& path);
  Shed(Shed&&) noexcept;
  Shed& operator=(Shed&&) noexcept;
  ~Shed();

  /// By kind, name and length.
  Result<std::vector<Held>> list() const;
  /// What no other job has reserved: what `job` may plan with.
  Result<std::vector<Item>> free_for(const std::string& job) const;

  Result<std::vector<Item>> reserved_for(const std::string& job) const;

  Result<void> add(const std::vector<Item>& items);
  /// Takes what nobody has reserved; all of it or, with "not-there", nothing.
  Result<void> take(const std::vector<Item>& items);

  /// Releases what the job had reserved and reserves these instead; with "not-there" when another was quicker, and then
  /// the old reservation stands.
  Result<void> reserve(const std::string& job, const std::vector<Item>& items);
  /// How many things were released.
  Result<int> release(const std::string& job);
  /// The cut is made: what the job had reserved is gone. `items` is what its plan says it uses; with "not-reserved"
  /// nothing is taken, because something else or nothing is reserved (planned again since, or taken before).
  Result<void> take_reserved(const std::string& job, const std::vector<Item>& items);

  /// Adds what a plan leaves over, once for each `key`; fails with "already-there" the second time.
  Result<void> restock(const std::string& key, const std::vector<Item>& items);

 private:
  struct Store;
  explicit Shed(std::unique_ptr<Store> store);
  std::unique_ptr<Store> store_;
};

}  // namespace garthwright::shed
