// SPDX-License-Identifier: Apache-2.0
#include "server/connections.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/read.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/thread_pool.hpp>
#include <boost/asio/write.hpp>
#include <boost/beast/http/status.hpp>
#include <exception>
#include <set>

namespace garthwright::server {

namespace asio = boost::asio;
using asio::ip::tcp;
using boost::system::error_code;
using Clock = std::chrono::steady_clock;

constexpr std::chrono::milliseconds kSweep{100};  // how finely limits of time are held
constexpr std::size_t kMostLingering = 1 << 20;   // bytes read and thrown away after a last answer

struct Connections::Room {
  Room(ConnectionLimits l, Answering a, std::vector<std::pair<std::string, std::string>> e)
      : limits(l), answering(std::move(a)), every(std::move(e)), crew(static_cast<std::size_t>(l.crew)) {}

  void accept();
  void admit(tcp::socket socket);
  void sweep();
  void close_all_waiting();

  const ConnectionLimits limits;
  const Answering answering;
  const std::vector<std::pair<std::string, std::string>> every;
  asio::io_context io{1};
  tcp::acceptor acceptor{io};
  asio::steady_timer sweeping{io}, accepting_again{io};
  std::set<std::shared_ptr<Session>> sessions;
  bool stopping = false;
  asio::thread_pool crew;
};

// ---- one connection -------------------------------------------------------------------------------------------------

class Connections::Session : public std::enable_shared_from_this<Session> {
 public:
  Session(Room& room, tcp::socket socket) : room_(room), socket_(std::move(socket)), reader_(room.limits.request) {}

  void begin() {
    error_code ignored;
    socket_.set_option(tcp::no_delay(true), ignored);
    enter(Doing::idle, room_.limits.idle_time);
    read();
  }

  /// One more than there is room for.
  void turn_away() {
    Response busy = room_.answering.refuse(
        503, {Severity::error, "busy", "as many are being answered as can be held", "ask again in a second", {}});
    busy.set("Retry-After", "1");
    send(std::move(busy), false);
  }

  bool is_answering() const { return doing_ == Doing::answering; }
  bool is_waiting() const { return doing_ != Doing::answering && doing_ != Doing::writing; }
  Clock::time_point since() const { return since_; }

  void close() {
    error_code ignored;
    socket_.close(ignored);
    room_.sessions.erase(shared_from_this());
  }

  void look_at_clock(Clock::time_point now) {
    if (is_answering() || now < until_) return;
    if (doing_ != Doing::head && doing_ != Doing::body) return close();
    send(room_.answering.refuse(
             408, {Severity::error, "too-slow", "the request came too slowly", "send it again, without a pause", {}}),
         false);
  }

 private:
  enum class Doing { idle, head, body, answering, writing, lingering };

  void enter(Doing doing, std::chrono::milliseconds within) {
    doing_ = doing;
    since_ = Clock::now();
    until_ = since_ + within;
  }

  void read() {
    socket_.async_read_some(asio::buffer(in_), [self = shared_from_this()](const error_code& error, std::size_t size) {
      if (self->doing_ == Doing::writing || self->doing_ == Doing::lingering) return;  // refused meanwhile
      if (error) return self->close();
      self->reader_.take({self->in_.data(), size});
      self->go_on();
    });
  }

  void go_on() {
    for (;;) switch (reader_.advance()) {
        case RequestReader::State::more:
          wait_for_more();
          return read();
        case RequestReader::State::refused:
          return send(room_.answering.refuse(reader_.status(), reader_.why()), false);
        case RequestReader::State::head:
          head_only_ = reader_.request().method == "HEAD";
          if (std::optional<Response> early =
                  guarded([&] { return room_.answering.before_the_body(reader_.request()); }))
            return send(*std::move(early), reader_.keeps_alive() && !reader_.has_body());
          if (reader_.waits_to_send()) return tell_to_send();
          break;
        case RequestReader::State::whole:
          return answer();
      }
  }

  void wait_for_more() {
    const Doing next = reader_.head_done() ? Doing::body : reader_.between_requests() ? Doing::idle : Doing::head;
    if (next == doing_) return;
    enter(next, next == Doing::body   ? room_.limits.body_time
                : next == Doing::head ? room_.limits.head_time
                                      : room_.limits.idle_time);
  }

  /// 100 Continue: the client waits with its body until it knows that it is wanted.
  void tell_to_send() {
    static const std::string kGoOn = "HTTP/1.1 100 Continue\r\n\r\n";
    wait_for_more();
    asio::async_write(socket_, asio::buffer(kGoOn), [self = shared_from_this()](const error_code& error, std::size_t) {
      if (self->doing_ != Doing::body) return;
      if (error) return self->close();
      self->go_on();
    });
  }

  void answer() {
    enter(Doing::answering, {});
    asio::post(room_.crew, [self = shared_from_this(), work = asio::make_work_guard(room_.io)] {
      const Client client{self->socket_.native_handle(), [self, turn = self->turn_.load()](Response part) {
                            asio::post(self->room_.io, [self, turn, part = std::move(part)]() mutable {
                              if (turn == self->turn_) self->send_ahead(std::move(part));
                            });
                          }};
      Response response = *self->guarded(
          [&]() -> std::optional<Response> { return self->room_.answering.answer(self->reader_.request(), client); });
      asio::post(self->room_.io, [self, response = std::move(response)]() mutable {
        self->send(std::move(response), self->reader_.keeps_alive());
      });
    });
  }

  /// An answer, whatever is thrown meanwhile.
  template <class Make>
  std::optional<Response> guarded(Make make) {
    try {
      return make();
    } catch (const std::bad_alloc&) {
      Response busy = room_.answering.refuse(
          503,
          {Severity::error, "out-of-memory", "there is no memory for this now", "ask again later, or for less", {}});
      busy.set("Retry-After", "5");
      return busy;
    } catch (const std::exception& what) {
      return room_.answering.refuse(
          500, {Severity::error, "fault", std::string("a fault in the program: ") + what.what(), {}, {}});
    }
  }

  /// A part of an answer that is still being made, as a chunk (RFC 9112, 7.1). The socket stays open whatever becomes
  /// of it: it is looked at until the answer is there, and its number must not be another's meanwhile.
  void send_ahead(Response part) {
    if (head_only_ || reader_.is_http10() || !part.body) return;
    const std::string bytes = chunk(*part.body);
    if (!in_parts_) {
      in_parts_ = true;
      keep_ = keeps(reader_.keeps_alive());
      ahead_ = head_of(part);
    }
    ahead_ += bytes;
    write_ahead();
  }
  void write_ahead() {
    if (is_ahead_) return;
    if (ahead_.empty() || broken_) {
      if (doing_ == Doing::writing) sent(broken_);
      return;
    }
    is_ahead_ = true;
    head_ = std::exchange(ahead_, {});
    asio::async_write(socket_, asio::buffer(head_), [self = shared_from_this()](const error_code& error, std::size_t) {
      self->is_ahead_ = false;
      self->broken_ = error;
      self->write_ahead();
    });
  }
  static std::string chunk(const std::string& bytes) {
    return bytes.empty() ? std::string() : fmt::format("{:x}\r\n", bytes.size()) + bytes + "\r\n";
  }

  bool keeps(bool keep) { return keep && !room_.stopping && ++served_ < room_.limits.requests; }

  void send(Response response, bool keep) {
    ++turn_;
    if (in_parts_) {
      if (response.body) ahead_ += chunk(*response.body);
      ahead_ += "0\r\n\r\n";
      enter(Doing::writing, room_.limits.write_time);
      return write_ahead();
    }
    keep_ = keeps(keep);
    head_ = head_of(response);
    body_ = std::move(response.body);
    enter(Doing::writing, room_.limits.write_time);
    std::vector<asio::const_buffer> parts{asio::buffer(head_)};
    if (body_ && !head_only_) parts.push_back(asio::buffer(*body_));
    asio::async_write(
        socket_, parts,
        [self = shared_from_this()](const error_code& error, std::size_t) -> std::size_t {
          self->until_ = Clock::now() + self->room_.limits.write_time;
          return error ? 0 : 65536;
        },
        [self = shared_from_this()](const error_code& error, std::size_t) { self->sent(error); });
  }

  std::string head_of(const Response& response) const {
    const int status = response.status;
    const auto reason =
        boost::beast::http::obsolete_reason(boost::beast::http::int_to_status(static_cast<unsigned>(status)));
    std::string head = fmt::format("HTTP/1.1 {} {}\r\n", status, std::string_view(reason.data(), reason.size()));
    const auto field = [&](const std::string& name, const std::string& value) { head += name + ": " + value + "\r\n"; };
    for (const auto& [name, value] : room_.every)
      if (!response.sets(name)) field(name, value);
    for (const auto& [name, value] : response.fields) field(name, value);
    if (response.body) field("Content-Type", response.type);
    if (in_parts_)
      field("Transfer-Encoding", "chunked");
    else if (status != 204 && status != 304)
      field("Content-Length", std::to_string(response.body ? response.body->size() : 0));
    if (!keep_)
      field("Connection", "close");
    else if (reader_.is_http10())
      field("Connection", "keep-alive");
    return head + "\r\n";
  }

  void sent(const error_code& error) {
    body_.reset();
    in_parts_ = false;
    if (error) return close();
    if (keep_ && !room_.stopping) {
      reader_.next();
      head_only_ = false;
      enter(Doing::idle, room_.limits.idle_time);
      return go_on();
    }
    // Closing with unread bytes would reset the connection, and the answer could be lost on its way (RFC 9112, 9.6).
    error_code ignored;
    socket_.shutdown(tcp::socket::shutdown_send, ignored);
    enter(Doing::lingering, room_.limits.linger_time);
    linger();
  }

  void linger() {
    socket_.async_read_some(asio::buffer(in_), [self = shared_from_this()](const error_code& error, std::size_t size) {
      self->thrown_away_ += size;
      if (error || self->thrown_away_ > kMostLingering) return self->close();
      self->linger();
    });
  }

  Room& room_;
  tcp::socket socket_;
  RequestReader reader_;
  std::array<char, 16384> in_;
  Doing doing_ = Doing::idle;
  Clock::time_point since_, until_;
  bool keep_ = false, head_only_ = false;
  int served_ = 0;
  std::string head_, ahead_;
  std::shared_ptr<const std::string> body_;
  std::atomic<int> turn_{0};  // which of the connection's answers: parts of an earlier one come too late
  bool in_parts_ = false, is_ahead_ = false;
  error_code broken_;
  std::size_t thrown_away_ = 0;
};

// ---- all of them ----------------------------------------------------------------------------------------------------

void Connections::Room::accept() {
  acceptor.async_accept([this](const error_code& error, tcp::socket socket) {
    if (stopping) return;
    if (!error) {
      admit(std::move(socket));
      return accept();
    }
    // No descriptor is free: some will be, shortly.
    accepting_again.expires_after(kSweep);
    accepting_again.async_wait([this](const error_code& ended) {
      if (!ended && !stopping) accept();
    });
  });
}

void Connections::Room::admit(tcp::socket socket) {
  if (sessions.size() >= limits.connections) {
    std::shared_ptr<Session> longest;
    for (const std::shared_ptr<Session>& one : sessions)
      if (!one->is_answering() && (!longest || one->since() < longest->since())) longest = one;
    if (longest) longest->close();
  }
  // Where all are being answered there is one more for a moment, which the next may push out.
  const bool is_full = sessions.size() >= limits.connections;
  const auto fresh = std::make_shared<Session>(*this, std::move(socket));
  sessions.insert(fresh);
  if (is_full)
    fresh->turn_away();
  else
    fresh->begin();
}

void Connections::Room::sweep() {
  const auto now = Clock::now();
  const std::vector<std::shared_ptr<Session>> all(sessions.begin(), sessions.end());
  for (const std::shared_ptr<Session>& one : all) one->look_at_clock(now);
  if (stopping && sessions.empty()) return;
  sweeping.expires_after(kSweep);
  sweeping.async_wait([this](const error_code& error) {
    if (!error) sweep();
  });
}

void Connections::Room::close_all_waiting() {
  const std::vector<std::shared_ptr<Session>> all(sessions.begin(), sessions.end());
  for (const std::shared_ptr<Session>& one : all)
    if (one->is_waiting()) one->close();
}

Connections::Connections(ConnectionLimits limits, Answering answering,
                         std::vector<std::pair<std::string, std::string>> every)
    : room_(std::make_unique<Room>(limits, std::move(answering), std::move(every))) {}

Connections::~Connections() {
  room_->crew.stop();
  room_->crew.join();
}

Result<int> Connections::open(const std::string& host, int port) {
  const auto no_port = [&](const error_code& error) {
    return fail("no-port", fmt::format("cannot listen on {} port {}: {}", host, port, error.message()),
                "give another --port (0 for any), or another --host");
  };
  error_code error;
  tcp::resolver resolver(room_->io);
  const auto found = resolver.resolve(host, std::to_string(port), tcp::resolver::passive, error);
  if (error || found.empty()) return no_port(error);
  const tcp::endpoint at = *found.begin();
  tcp::acceptor& acceptor = room_->acceptor;
  if (acceptor.open(at.protocol(), error); error) return no_port(error);
  acceptor.set_option(tcp::acceptor::reuse_address(true), error);
  if (acceptor.bind(at, error); error) return no_port(error);
  if (acceptor.listen(asio::socket_base::max_listen_connections, error); error) return no_port(error);
  return acceptor.local_endpoint().port();
}

void Connections::run() {
  room_->accept();
  room_->sweep();
  for (;;) try {
      room_->io.run();
      return;
    } catch (const std::bad_alloc&) {
      // The connection that needed it is left as it is, and closed when its time is up.
    }
}

void Connections::stop() {
  asio::post(room_->io, [room = room_.get()] {
    room->stopping = true;
    error_code ignored;
    room->acceptor.close(ignored);
    room->accepting_again.cancel();
    room->close_all_waiting();
  });
}

}  // namespace garthwright::server
