// SPDX-License-Identifier: Apache-2.0
//
// All structures of a job, hosts of shared posts before their guests: a guest is handed the host's posts; what all
// guests ask of a post is made of it; then those that share posts become one structure.
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "base/near.h"
#include "base/patience.h"
#include "base/quoted.h"
#include "pattern/build_unmarked.h"
#include "pattern/country.h"
#include "structure/absorbing.h"
#include "structure/garden_frame.h"
#include "structure/marks.h"

namespace garthwright::pattern {
namespace {

constexpr double kSame = 1e-6;  // mm
constexpr int kMostPasses = 3;  // a raised post may raise what stands on it, and so another
constexpr const char* kExample = "write shares = { \"left post\" = \"arbor/right front post\" }";

/// One shared post: whose it is, and by which of the guest's names.
struct Link {
  std::size_t host = 0;
  std::string post;  ///< "right front post"
  const Share* share = nullptr;
};

/// An order with all that is found out about it.
struct Plot {
  Order order;
  std::vector<Link> links;
  std::vector<LentPost> lent;  ///< with `links`
  std::vector<RaisedPost> raised;
  Built built;
};

tl::unexpected<Diagnostics> wrong(const Place& where, const char* code, std::string what, std::string cure) {
  return fail(code, std::move(what), std::move(cure), where);
}

PieceId post_called(const Structure& structure, const std::string& name) {
  for (std::size_t i = 0; i < structure.pieces.size(); ++i) {
    const Piece& piece = structure.pieces[i];
    if (full_name(piece.where, piece.name) == name && std::abs(piece.frame.x.z) > 0.99) return {static_cast<int>(i)};
  }
  return {};
}

std::vector<std::string> uprights(const Structure& structure) {
  std::vector<std::string> names;
  for (const Piece& piece : structure.pieces)
    if (std::abs(piece.frame.x.z) > 0.99) names.push_back(full_name(piece.where, piece.name));
  return names;
}

std::string choice_of(const Structure& structure, const std::string& section) {
  for (const Choice& choice : structure.choices)
    if (choice.text == section) return choice.name;
  return {};
}

class Grounds {
 public:
  Grounds(const Job& job, const Shelves& shelves, const GardenLimits& limits)
      : job_(job), shelves_(shelves), limits_(limits) {
    for (const Order& order : job.orders) plots_.push_back({order, {}, {}, {}, {}});
  }

  Result<std::vector<Built>> run() {
    Result<std::optional<Country>> country = country_of(job_, shelves_);
    if (!country) return tl::make_unexpected(country.error());
    country_ = *std::move(country);
    if (country_)
      for (Plot& plot : plots_) plot.order = in_pattern_words(*country_, std::move(plot.order));
    if (const Result<void> linked = link(); !linked) return tl::make_unexpected(linked.error());
    if (const Result<void> sorted = sort(); !sorted) return tl::make_unexpected(sorted.error());
    for (int pass = 0; pass < kMostPasses; ++pass) {
      if (const Result<void> done = build_each(); !done) return tl::make_unexpected(done.error());
      if (!raise_posts()) break;
    }
    for (const std::size_t i : sequence_) grow_hosts(plots_[i]);
    return merged();
  }

 private:
  /// Whose posts each order shares.
  Result<void> link() {
    std::vector<std::string> names;
    for (const Plot& plot : plots_) names.push_back(plot.order.name);
    for (Plot& plot : plots_)
      for (const Share& share : plot.order.shares) {
        const auto host = std::find_if(names.begin(), names.end(),
                                       [&](const std::string& n) { return share.host.starts_with(n + "/"); });
        if (host == names.end())
          return wrong(share.where, "unknown-host",
                       fmt::format("{} names no post of a structure of this job", quoted(share.host)), kExample);
        const auto index = static_cast<std::size_t>(host - names.begin());
        plot.links.push_back({index, share.host.substr(host->size() + 1), &share});
      }
    return {};
  }

  /// Hosts first; as the job has them otherwise.
  Result<void> sort() {
    std::vector<int> state(plots_.size(), 0);  // 1: on the way, 2: done
    std::vector<std::size_t> way;
    const std::function<Result<void>(std::size_t)> visit = [&](std::size_t i) -> Result<void> {
      if (state[i] == 2) return {};
      way.push_back(i);
      if (state[i] == 1) return circle(way);
      state[i] = 1;
      for (const Link& l : plots_[i].links)
        if (const Result<void> done = visit(l.host); !done) return done;
      state[i] = 2;
      way.pop_back();
      sequence_.push_back(i);
      return {};
    };
    for (std::size_t i = 0; i < plots_.size(); ++i)
      if (const Result<void> done = visit(i); !done) return done;
    return {};
  }

  Result<void> circle(const std::vector<std::size_t>& way) const {
    const auto from = std::find(way.begin(), way.end(), way.back());
    std::vector<std::string> names;
    for (auto at = from; at != way.end(); ++at) names.push_back(plots_[*at].order.name);
    return wrong(plots_[way.back()].links.front().share->where, "shared-circle",
                 fmt::format("structures take posts of each other in a circle: {}", fmt::join(names, ", ")),
                 "let one of them have posts of its own");
  }

  Result<void> build_each() {
    Diagnostics problems;
    std::vector<bool> failed(plots_.size(), false);
    std::size_t pieces = 0;
    for (const std::size_t i : sequence_) {
      look_at_the_clock();
      Plot& plot = plots_[i];
      const bool hostless =
          std::any_of(plot.links.begin(), plot.links.end(), [&](const Link& l) { return failed[l.host]; });
      const Result<void> done = hostless ? Result<void>{} : build_one(plot);
      failed[i] = hostless || !done;
      if (!done) problems.insert(problems.end(), done.error().begin(), done.error().end());
      pieces += plot.built.structure.pieces.size();
      if (pieces > limits_.most_pieces)
        return wrong(
            plot.order.where, "too-large", fmt::format("with {} the job has {} pieces", plot.order.name, pieces),
            fmt::format("at most {} are planned at once here: part it into several jobs", limits_.most_pieces));
    }
    if (problems.empty()) return {};
    std::stable_sort(problems.begin(), problems.end(),
                     [](const Diagnostic& a, const Diagnostic& b) { return a.where.line < b.where.line; });
    return tl::make_unexpected(std::move(problems));
  }

  Result<void> build_one(Plot& plot) {
    if (!plot.links.empty() && !plot.order.placed)
      if (const Result<void> done = find_place(plot); !done) return done;
    plot.lent.clear();
    for (const Link& l : plot.links) {
      const Result<LentPost> post = lend(plot, l);
      if (!post) return tl::make_unexpected(post.error());
      plot.lent.push_back(*post);
    }
    Result<Built> built = build_unmarked(job_, plot.order, shelves_, &plot.lent, plot.raised);
    if (!built) return tl::make_unexpected(built.error());
    plot.built = std::move(*built);
    for (std::size_t k = 0; k < plot.links.size(); ++k)
      if (!plot.lent[k].taken)
        return wrong(plot.links[k].share->where, "unknown-post",
                     fmt::format("{} places no post called {}", plot.order.pattern, quoted(plot.links[k].share->own)),
                     suggest(plot.links[k].share->own, uprights(plot.built.structure)));
    return {};
  }

  /// Where the job does not say, the guest stands so that its first shared post is the host's.
  Result<void> find_place(Plot& plot) {
    const Link& first = plot.links.front();
    plot.order.at = {};
    const Result<Built> alone = build_unmarked(job_, plot.order, shelves_, nullptr, {});
    if (!alone) return tl::make_unexpected(alone.error());
    const PieceId own = post_called(alone->structure, first.share->own);
    if (!own)
      return wrong(first.share->where, "unknown-post",
                   fmt::format("{} places no post called {}", plot.order.pattern, quoted(first.share->own)),
                   suggest(first.share->own, uprights(alone->structure)));
    const Result<PieceId> real = real_post(first);
    if (!real) return tl::make_unexpected(real.error());
    const Structure& host = plots_[first.host].built.structure;
    Structure turned = alone->structure;
    turned.at = {};
    const Vec3 there = garden_frame(host).to_world(world_box(host, body(*real)).centre());
    const Vec3 here = garden_frame(turned).to_world(world_box(turned, body(own)).centre());
    plot.order.at = {there.x - here.x, there.y - here.y, host.at.z};
    plot.order.levelled = true;
    return {};
  }

  Result<PieceId> real_post(const Link& l) const {
    const Structure& host = plots_[l.host].built.structure;
    const PieceId real = post_called(host, l.post);
    if (real) return real;
    return wrong(l.share->where, "unknown-post", fmt::format("{} has no post called {}", host.name, quoted(l.post)),
                 suggest(l.post, uprights(host)));
  }

  Result<LentPost> lend(const Plot& plot, const Link& l) {
    const Structure& host = plots_[l.host].built.structure;
    const Result<PieceId> real = real_post(l);
    if (!real) return tl::make_unexpected(real.error());
    Structure viewer;
    viewer.at = plot.order.at, viewer.turn_deg = plot.order.turn_deg;
    if (!plot.order.levelled) viewer.at.z = job_.ground.at(viewer.at.x, viewer.at.y).level.value();
    if (!are_square(viewer, host))
      return wrong(plot.order.where, "not-square",
                   fmt::format("{} is turned {:g}° and {}, whose post it shares, {:g}°: their faces do not meet",
                               plot.order.name, plot.order.turn_deg, host.name, host.turn_deg),
                   "turn one of them by quarter turns to the other");
    const std::string section = host[host[*real].section].name;
    return LentPost{l.share->own, host.name, l.post, seen_from(viewer, host, *real), section, choice_of(host, section)};
  }

  /// The order whose own the post is, and that post.
  std::pair<std::size_t, PieceId> owner(std::size_t host, const std::string& post) const {
    const Plot& plot = plots_[host];
    for (std::size_t k = 0; k < plot.links.size(); ++k)
      if (plot.links[k].share->own == post) return owner(plot.links[k].host, plot.links[k].post);
    return {host, post_called(plot.built.structure, post)};
  }

  /// Whether any host has to be built again, because guests want its posts higher than they are.
  bool raise_posts() {
    bool any = false;
    for (const Plot& guest : plots_)
      for (std::size_t k = 0; k < guest.links.size(); ++k) {
        const auto [host, post] = owner(guest.links[k].host, guest.links[k].post);
        Plot& plot = plots_[host];
        const Structure& of = plot.built.structure;
        const double up = guest.built.structure.at.z - of.at.z;
        const PostAsked& asked = guest.lent[k].asked;
        const Traced now = of[post].corner[2] + of[post].length;
        if (asked.top.value() + up <= now.value() + kSame) continue;
        const std::string called = full_name(of[post].where, of[post].name);
        const Traced top = asked_by(guest.order.name, "top", asked.top, up);
        const auto known = std::find_if(plot.raised.begin(), plot.raised.end(),
                                        [&](const RaisedPost& r) { return r.called == called; });
        if (known == plot.raised.end()) {
          plot.raised.push_back({called, top});
          any = true;
        } else if (known->top.value() < top.value() - kSame) {
          known->top = top;
          any = true;
        }
      }
    return any;
  }

  void grow_hosts(const Plot& guest) {
    for (std::size_t k = 0; k < guest.links.size(); ++k) {
      const auto [host, post] = owner(guest.links[k].host, guest.links[k].post);
      Structure& of = plots_[host].built.structure;
      grow(of, post, guest.lent[k].asked, guest.built.structure.at.z - of.at.z, guest.order.name);
    }
  }

  // ---- one structure of several ----------------------------------------------------------------------------------

  std::size_t root(std::size_t i) const {
    while (root_[i] != i) i = root_[i];
    return i;
  }

  /// Those that share posts, by the first of them that lends.
  void find_roots() {
    root_.resize(plots_.size());
    for (std::size_t i = 0; i < plots_.size(); ++i) root_[i] = i;
    std::vector<std::size_t> rank(plots_.size());
    for (std::size_t k = 0; k < sequence_.size(); ++k) rank[sequence_[k]] = k;
    for (std::size_t i = 0; i < plots_.size(); ++i)
      for (const Link& l : plots_[i].links) {
        const std::size_t a = root(i), b = root(l.host);
        if (a != b) rank[a] < rank[b] ? root_[b] = a : root_[a] = b;
      }
  }

  Result<std::vector<Built>> merged() {
    find_roots();
    std::vector<std::vector<PieceId>> moved(plots_.size());  // of each order, where its pieces are in its root
    for (const std::size_t i : sequence_) {
      Plot& plot = plots_[i];
      const std::size_t to = root(i);
      if (to == i) {
        for (std::size_t p = 0; p < plot.built.structure.pieces.size(); ++p)
          moved[i].push_back(PieceId{static_cast<int>(p)});
        continue;
      }
      Structure& host = plots_[to].built.structure;
      if (!are_square(host, plot.built.structure))
        return wrong(
            plot.order.where, "not-square",
            fmt::format("{} and {} share posts and do not stand square to each other", host.name, plot.order.name),
            "turn one of them by quarter turns to the other");
      std::vector<SharedPost> shared;
      for (std::size_t k = 0; k < plot.links.size(); ++k) {
        const auto [owner_order, post] = owner(plot.links[k].host, plot.links[k].post);
        shared.push_back({plot.lent[k].taken, moved[owner_order][static_cast<std::size_t>(post.index)]});
      }
      settle_climber(host, plot.built.structure, plots_[to].built.remarks);
      moved[i] = absorb(host, plot.built.structure, shared);
      const Structure& guest = plot.built.structure;
      Part part{guest.name, guest.pattern, guest.at, guest.turn_deg, guest.order, guest.choices};
      for (const SharedPost& post : shared) {
        const Piece& own = guest[post.in_guest];
        part.posts.push_back({full_name(own.where, own.name), post.in_host});
      }
      host.guests.push_back(std::move(part));
      Diagnostics& remarks = plots_[to].built.remarks;
      remarks.insert(remarks.end(), plot.built.remarks.begin(), plot.built.remarks.end());
    }
    std::vector<Built> all;
    int letter = 0;
    for (std::size_t i = 0; i < plots_.size(); ++i) {
      if (root(i) != i) continue;
      letter = assign_marks(plots_[i].built.structure, letter);
      if (country_) speak(*country_, plots_[i].built);
      all.push_back(std::move(plots_[i].built));
    }
    return all;
  }

  /// One climber grows on one structure: a part that is to stay bare carries none.
  void settle_climber(Structure& host, Structure& guest, Diagnostics& remarks) const {
    if (host.climber == guest.climber || !any_for(guest, Duty::climber)) return;
    if (guest.climber == "none") return drop_climber(guest);
    if (host.climber == "none" || !any_for(host, Duty::climber)) {
      drop_climber(host);
      host.climber = guest.climber;
      return;
    }
    remarks.push_back({Severity::warning,
                       "one-climber",
                       fmt::format("{} and {} share posts: both are checked with the climber of {}", host.name,
                                   guest.name, host.name),
                       "give both the same climber",
                       {}});
  }
  static void drop_climber(Structure& structure) {
    for (Piece& piece : structure.pieces) piece.duties.remove(Duty::climber);
    for (Panel& panel : structure.panels) panel.duties.remove(Duty::climber);
  }

  const Job& job_;
  const Shelves& shelves_;
  const GardenLimits& limits_;
  std::optional<Country> country_;
  std::vector<Plot> plots_;
  std::vector<std::size_t> sequence_;  ///< hosts before guests
  std::vector<std::size_t> root_;
};

}  // namespace

Result<std::vector<Built>> build_all(const Job& job, const Shelves& shelves, const GardenLimits& limits) {
  return Grounds(job, shelves, limits).run();
}

}  // namespace garthwright::pattern
