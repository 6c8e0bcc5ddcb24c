// SPDX-License-Identifier: Apache-2.0
#include "shed/shed.h"

#include <fmt/format.h>
#include <sqlite3.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <filesystem>
#include <tuple>

#include "base/length.h"
#include "base/plain_text.h"
#include "base/quoted.h"

namespace garthwright::shed {
namespace {

constexpr int kWait_ms = 10'000;
constexpr int kMost = 1'000'000;
constexpr double kLongest_mm = 100'000;
constexpr int kFormat = 1;                  // PRAGMA user_version
constexpr std::int64_t kOurs = 0x53484544;  // PRAGMA application_id: "SHED"

const char* const kTables =
    "CREATE TABLE IF NOT EXISTS held (id INTEGER PRIMARY KEY, kind INTEGER NOT NULL, name TEXT NOT NULL,"
    " length_um INTEGER NOT NULL, quantity INTEGER NOT NULL CHECK (quantity >= 0), UNIQUE (kind, name, length_um));"
    "CREATE TABLE IF NOT EXISTS reserved (job TEXT NOT NULL, held INTEGER NOT NULL REFERENCES held (id),"
    " quantity INTEGER NOT NULL CHECK (quantity > 0), PRIMARY KEY (job, held));"
    "CREATE TABLE IF NOT EXISTS restocked (plan TEXT PRIMARY KEY);";

std::int64_t micrometres(double mm) { return std::llround(mm * 1000); }

std::string spoken(const Item& item) {
  return item.kind == Kind::fixing ? item.name : fmt::format("{} of {}", item.name, format_length(item.length_mm));
}

/// One row at a time of one statement; failures are kept until asked for.
class Query {
 public:
  Query(sqlite3* db, const char* sql) { state_ = sqlite3_prepare_v2(db, sql, -1, &statement_, nullptr); }
  ~Query() { sqlite3_finalize(statement_); }
  Query(const Query&) = delete;
  Query& operator=(const Query&) = delete;

  Query& with(std::int64_t value) {
    if (state_ == SQLITE_OK) state_ = sqlite3_bind_int64(statement_, ++bound_, value);
    return *this;
  }
  Query& with(const std::string& text) {
    if (state_ == SQLITE_OK)
      state_ = sqlite3_bind_text(statement_, ++bound_, text.data(), static_cast<int>(text.size()), SQLITE_TRANSIENT);
    return *this;
  }
  bool next() {
    if (state_ == SQLITE_OK || state_ == SQLITE_ROW) state_ = sqlite3_step(statement_);
    return state_ == SQLITE_ROW;
  }
  std::int64_t number(int column) const { return sqlite3_column_int64(statement_, column); }
  std::string text(int column) const {
    const unsigned char* bytes = sqlite3_column_text(statement_, column);
    return bytes == nullptr ? "" : reinterpret_cast<const char*>(bytes);
  }
  bool failed() const { return state_ != SQLITE_OK && state_ != SQLITE_ROW && state_ != SQLITE_DONE; }

 private:
  sqlite3_stmt* statement_ = nullptr;
  int state_ = SQLITE_OK;
  int bound_ = 0;
};

Item read_item(const Query& row) {
  return {static_cast<Kind>(row.number(0)), row.text(1), static_cast<double>(row.number(2)) / 1000,
          static_cast<int>(row.number(3))};
}

/// Like things together, in the order the shed lists them.
std::vector<Item> in_order(const std::vector<Item>& items) {
  const auto key = [](const Item& item) { return std::tuple(item.kind, item.name, micrometres(item.length_mm)); };
  std::vector<Item> sorted = items, merged;
  std::stable_sort(sorted.begin(), sorted.end(), [&](const Item& a, const Item& b) { return key(a) < key(b); });
  for (const Item& item : sorted) {
    if (!merged.empty() && key(merged.back()) == key(item))
      merged.back().quantity += item.quantity;
    else
      merged.push_back({item.kind, item.name, static_cast<double>(micrometres(item.length_mm)) / 1000, item.quantity});
  }
  return merged;
}

Result<void> check(const Item& item) {
  if (item.name.empty() || item.name.size() > 200)
    return fail("bad-item", "a thing in the shed needs a name of up to 200 letters");
  if (!is_plain_text(item.name))
    return fail("bad-item", fmt::format("the name {} holds control characters", garthwright::quoted(item.name)),
                "write it on one line");
  if (item.quantity < 1 || item.quantity > kMost)
    return fail("bad-item", fmt::format("{} of {}", item.quantity, garthwright::quoted(item.name)),
                "give 1 to 1,000,000");
  const bool length_fits =
      item.kind == Kind::fixing ? item.length_mm == 0 : item.length_mm >= 0.001 && item.length_mm <= kLongest_mm;
  if (!length_fits)
    return fail("bad-item",
                fmt::format("an off-cut of {} is {:g} mm long", garthwright::quoted(item.name), item.length_mm),
                "give a length up to 100 m");
  return {};
}

}  // namespace

struct Shed::Store {
  std::string path;
  sqlite3* db = nullptr;

  ~Store() { sqlite3_close(db); }

  tl::unexpected<Diagnostics> failure() const {
    const Place where{path, 0, 0, {}};
    switch (sqlite3_errcode(db)) {
      case SQLITE_NOTADB:
        return fail("no-shed", "the file is no shed", "name another file, or one that is not there yet", where);
      case SQLITE_BUSY:
        return fail("shed-failed", "another program has held the shed for ten seconds", "run again when it is done",
                    where);
      case SQLITE_FULL:
      case SQLITE_IOERR:
        return fail("shed-failed", "the shed cannot be written", "make room and run again", where);
      default:
        return fail("shed-failed", fmt::format("the shed cannot be used: {}", sqlite3_errmsg(db)),
                    "see that the file and its folder may be written", where);
    }
  }

  Result<void> run(const char* sql) const {
    if (sqlite3_exec(db, sql, nullptr, nullptr, nullptr) != SQLITE_OK) return failure();
    return {};
  }

  /// All of `work` or, when it fails or the program dies, nothing. Taking the lock at once spares two writers a
  /// deadlock between reading and writing.
  template <class Work>
  auto at_once(Work work) const -> decltype(work()) {
    if (const Result<void> begun = run("BEGIN IMMEDIATE"); !begun) return tl::make_unexpected(begun.error());
    auto done = work();
    if (!done) {
      sqlite3_exec(db, "ROLLBACK", nullptr, nullptr, nullptr);
      return done;
    }
    if (const Result<void> kept = run("COMMIT"); !kept) {
      sqlite3_exec(db, "ROLLBACK", nullptr, nullptr, nullptr);
      return tl::make_unexpected(kept.error());
    }
    return done;
  }

  Result<void> put(const Item& item) const {
    if (const Result<void> good = check(item); !good) return good;
    Query query(db,
                "INSERT INTO held (kind, name, length_um, quantity) VALUES (?1, ?2, ?3, ?4)"
                " ON CONFLICT (kind, name, length_um) DO UPDATE SET quantity = quantity + ?4");
    query.with(static_cast<int>(item.kind)).with(item.name).with(micrometres(item.length_mm)).with(item.quantity);
    query.next();
    if (query.failed()) return failure();
    return {};
  }

  /// The row of a thing of which at least as many are free; "not-there" else.
  Result<std::int64_t> row_with_free(const Item& item) const {
    if (const Result<void> good = check(item); !good) return tl::make_unexpected(good.error());
    Query query(db,
                "SELECT id, quantity - (SELECT coalesce(sum(quantity), 0) FROM reserved WHERE held = id)"
                " FROM held WHERE kind = ?1 AND name = ?2 AND length_um = ?3");
    query.with(static_cast<int>(item.kind)).with(item.name).with(micrometres(item.length_mm));
    const bool there = query.next();
    if (query.failed()) return failure();
    const std::int64_t left = there ? query.number(1) : 0;
    if (left < item.quantity)
      return fail("not-there",
                  fmt::format("{} × {} is wanted, and {} lie free in the shed", item.quantity, spoken(item), left),
                  "see what there is with: garthwright shed list");
    return query.number(0);
  }

  Result<void> change(const char* sql, std::int64_t number, std::int64_t row) const {
    Query query(db, sql);
    query.with(number).with(row).next();
    if (query.failed()) return failure();
    return {};
  }

  Result<int> forget(const std::string& job) const {
    Query query(db, "DELETE FROM reserved WHERE job = ?1");
    query.with(job).next();
    if (query.failed()) return failure();
    return sqlite3_changes(db);
  }
};

Shed::Shed(std::unique_ptr<Store> store) : store_(std::move(store)) {}
Shed::Shed(Shed&&) noexcept = default;
Shed& Shed::operator=(Shed&&) noexcept = default;
Shed::~Shed() = default;

/// Makes the tables in a new file; refuses a file that is another program's.
static Result<void> make_ready(const std::string& path, sqlite3* db, const auto& run, const auto& failure) {
  const auto number = [&](const char* sql, std::int64_t& into) {
    Query query(db, sql);
    if (query.next()) into = query.number(0);
    return !query.failed();
  };
  const Place where{path, 0, 0, {}};
  std::int64_t owner = 0, format = 0, tables = 0;
  if (!number("PRAGMA application_id", owner) || !number("PRAGMA user_version", format) ||
      !number("SELECT count(*) FROM sqlite_schema", tables))
    return failure();
  if (tables > 0 && owner != kOurs)
    return fail("no-shed", "the file is a database of another program", "name another file", where);
  if (format > kFormat)
    return fail("no-shed", "the shed was made by a newer version of this program", "use that version", where);
  if (tables > 0) return {};
  if (const Result<void> made = run(kTables); !made) return made;
  return run(fmt::format("PRAGMA application_id = {}; PRAGMA user_version = {}", kOurs, kFormat).c_str());
}

Result<Shed> Shed::open(const std::string& path) {
  const std::filesystem::path folder = std::filesystem::path(path).parent_path();
  const Place where{path, 0, 0, {}};
  std::error_code trouble;
  if (!folder.empty()) std::filesystem::create_directories(folder, trouble);
  if (trouble)
    return fail("shed-failed", "the shed's folder cannot be made: " + trouble.message(), "name a file elsewhere",
                where);
  // SQLite would read a device, and leave its journal beside it.
  if (std::filesystem::is_other(std::filesystem::status(path, trouble)))
    return fail("no-shed", "this is a device or a pipe", "give a plain file", where);
  auto store = std::make_unique<Store>();
  store->path = path;
  if (sqlite3_open(path.c_str(), &store->db) != SQLITE_OK)
    return fail("shed-failed", fmt::format("the shed cannot be opened: {}", sqlite3_errmsg(store->db)),
                "see that the file and its folder may be written", where);
  sqlite3_busy_timeout(store->db, kWait_ms);
  // A change counts as made only when it has reached the disk.
  if (const Result<void> set = store->run("PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON"); !set)
    return tl::make_unexpected(set.error());
  const Result<void> ready = store->at_once([&]() -> Result<void> {
    return make_ready(
        path, store->db, [&](const char* sql) { return store->run(sql); }, [&] { return store->failure(); });
  });
  if (!ready) return tl::make_unexpected(ready.error());
  return Shed(std::move(store));
}

Result<std::vector<Held>> Shed::list() const {
  Query query(store_->db,
              "SELECT kind, name, length_um, held.quantity, job, reserved.quantity FROM held LEFT JOIN reserved"
              " ON held.id = reserved.held WHERE held.quantity > 0 ORDER BY kind, name, length_um, job");
  std::vector<Held> all;
  while (query.next()) {
    const Item item = read_item(query);
    if (all.empty() || !(all.back().item == item)) all.push_back({item, 0, {}});
    if (query.text(4).empty()) continue;
    all.back().reserved += static_cast<int>(query.number(5));
    all.back().jobs.push_back(query.text(4));
  }
  if (query.failed()) return store_->failure();
  return all;
}

Result<std::vector<Item>> Shed::free_for(const std::string& job) const {
  Query query(store_->db,
              "SELECT kind, name, length_um, quantity - (SELECT coalesce(sum(quantity), 0) FROM reserved"
              " WHERE held = id AND job <> ?1) AS free FROM held WHERE free > 0 ORDER BY kind, name, length_um");
  query.with(job);
  std::vector<Item> free;
  while (query.next()) free.push_back(read_item(query));
  if (query.failed()) return store_->failure();
  return free;
}

Result<std::vector<Item>> Shed::reserved_for(const std::string& job) const {
  Query query(store_->db,
              "SELECT kind, name, length_um, reserved.quantity FROM reserved JOIN held ON held.id = reserved.held"
              " WHERE job = ?1 ORDER BY kind, name, length_um");
  query.with(job);
  std::vector<Item> reserved;
  while (query.next()) reserved.push_back(read_item(query));
  if (query.failed()) return store_->failure();
  return reserved;
}

Result<void> Shed::add(const std::vector<Item>& items) {
  return store_->at_once([&]() -> Result<void> {
    for (const Item& item : items)
      if (const Result<void> done = store_->put(item); !done) return done;
    return {};
  });
}

Result<void> Shed::take(const std::vector<Item>& items) {
  return store_->at_once([&]() -> Result<void> {
    for (const Item& item : items) {
      const Result<std::int64_t> row = store_->row_with_free(item);
      if (!row) return tl::make_unexpected(row.error());
      const Result<void> done =
          store_->change("UPDATE held SET quantity = quantity - ?1 WHERE id = ?2", item.quantity, *row);
      if (!done) return done;
    }
    return {};
  });
}

Result<void> Shed::reserve(const std::string& job, const std::vector<Item>& items) {
  if (job.empty()) return fail("bad-item", "what is reserved needs the name of a job", "give the job a title");
  return store_->at_once([&]() -> Result<void> {
    if (const Result<int> forgotten = store_->forget(job); !forgotten) return tl::make_unexpected(forgotten.error());
    for (const Item& item : items) {
      const Result<std::int64_t> row = store_->row_with_free(item);
      if (!row) return tl::make_unexpected(row.error());
      Query query(store_->db,
                  "INSERT INTO reserved (job, held, quantity) VALUES (?1, ?2, ?3)"
                  " ON CONFLICT (job, held) DO UPDATE SET quantity = quantity + ?3");
      query.with(job).with(*row).with(item.quantity).next();
      if (query.failed()) return store_->failure();
    }
    return {};
  });
}

Result<int> Shed::release(const std::string& job) {
  return store_->at_once([&] { return store_->forget(job); });
}

Result<void> Shed::take_reserved(const std::string& job, const std::vector<Item>& items) {
  return store_->at_once([&]() -> Result<void> {
    std::vector<Item> reserved;
    std::vector<std::int64_t> rows;
    {
      Query query(store_->db,
                  "SELECT kind, name, length_um, reserved.quantity, held.id FROM reserved JOIN held"
                  " ON held.id = reserved.held WHERE job = ?1 ORDER BY kind, name, length_um");
      query.with(job);
      while (query.next()) {
        reserved.push_back(read_item(query));
        rows.push_back(query.number(4));
      }
      if (query.failed()) return store_->failure();
    }
    if (reserved != in_order(items))
      return fail(
          "not-reserved",
          reserved.empty()
              ? fmt::format("nothing is reserved for {}: it was taken before, or released", garthwright::quoted(job))
              : fmt::format("what is reserved for {} is not what this plan uses", garthwright::quoted(job)),
          reserved.empty() ? "plan the job again if it is still to be cut"
                           : "take the plan that was made last, or plan the job again");
    if (const Result<int> forgotten = store_->forget(job); !forgotten) return tl::make_unexpected(forgotten.error());
    for (std::size_t i = 0; i < reserved.size(); ++i) {
      const Result<void> done =
          store_->change("UPDATE held SET quantity = quantity - ?1 WHERE id = ?2", reserved[i].quantity, rows[i]);
      if (!done) return done;
    }
    return {};
  });
}

Result<void> Shed::restock(const std::string& key, const std::vector<Item>& items) {
  return store_->at_once([&]() -> Result<void> {
    {
      Query query(store_->db, "INSERT OR IGNORE INTO restocked (plan) VALUES (?1)");
      query.with(key).next();
      if (query.failed()) return store_->failure();
    }
    if (sqlite3_changes(store_->db) == 0)
      return fail("already-there", "what this plan leaves over was put into the shed before",
                  "add single things with: garthwright shed add");
    for (const Item& item : items)
      if (const Result<void> done = store_->put(item); !done) return done;
    return {};
  });
}

}  // namespace garthwright::shed
