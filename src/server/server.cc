// SPDX-License-Identifier: Apache-2.0
#include "server/server.h"

#include <fmt/format.h>
#include <httplib.h>
#include <sys/socket.h>

#include <algorithm>
#include <atomic>
#include <cerrno>
#include <cstring>
#include <exception>
#include <functional>
#include <future>
#include <new>
#include <thread>

#include "base/quoted.h"
#include "exchange/json_values.h"
#include "server/answer_cache.h"
#include "server/connection.h"
#include "server/content_tag.h"
#include "server/gate.h"
#include "server/guard.h"
#include "server/page.h"

namespace garthwright::server {
namespace {

using exchange::Json;
using httplib::Request;
using httplib::Response;

constexpr std::size_t kHead = std::size_t{64} << 10;  // bytes of request line and header fields
constexpr std::size_t kMostRequests = 10'000;         // on one connection
constexpr const char* kJobs = "/api/v1/jobs";
constexpr const char* kJobsPrefix = "/api/v1/jobs/";

// What a browser is told of every answer. Nothing comes from elsewhere; the page shows sheets and pictures it has
// itself fetched (blob:), and no other site may frame it.
const httplib::Headers& house_headers() {
  static const httplib::Headers headers{
      {"Content-Security-Policy",
       "default-src 'self'; img-src 'self' data: blob:; frame-src 'self' blob:; object-src 'none'; base-uri 'none'; "
       "form-action 'none'; frame-ancestors 'none'"},
      {"X-Content-Type-Options", "nosniff"},
      {"X-Frame-Options", "DENY"},
      {"Referrer-Policy", "no-referrer"},
      {"Cross-Origin-Opener-Policy", "same-origin"},
      {"Cross-Origin-Resource-Policy", "same-origin"},
      {"Permissions-Policy", "camera=(), geolocation=(), microphone=()"},
      {"Vary", "Accept-Encoding"},
  };
  return headers;
}

// ---- words for what HTTP itself has against a request -----------------------------------------------------------

Diagnostic error(std::string code, std::string what, std::string cure = {}) {
  return {Severity::error, std::move(code), std::move(what), std::move(cure), {}};
}

Diagnostic words_for(int status) {
  switch (status) {
    case 400:
      return error("bad-request", "the request is not HTTP as it should be", "send it again");
    case 404:
      return error("not-found", "there is no such thing here", "see /api/v1/openapi.json");
    case 413:
      return error("too-large", "the request is too large", "send at most 256 kB");
    case 414:
      return error("too-large", "the address is too long", "send the job as the body");
    case 416:
      return error("bad-request", "a part was asked for that is not there", "leave the Range out");
    case 431:
      return error("too-large", "the header fields are too long or came too slowly", "send fewer of them");
    case 505:
      return error("bad-request", "this version of HTTP is not spoken", "use HTTP/1.1");
    default:
      return error("failed", fmt::format("the request failed ({})", status));
  }
}

// ---- sending --------------------------------------------------------------------------------------------------------

void send_problem(Response& out, int status, const Diagnostics& why) {
  out.status = status;
  out.set_header("Cache-Control", "no-store");
  out.set_content(problem_json(why), "application/json");
}

/// What the client accepts, kept aside: the library would compress on its own, and slowly, if it saw it.
struct Accepts {
  bool gzip = false;
};
Accepts& accepts() {
  static thread_local Accepts here;
  return here;
}

/// "gzip, br;q=0.5", "*", "gzip;q=0".
bool accepts_gzip(const std::string& list) {
  for (std::size_t from = 0; from < list.size();) {
    const std::size_t comma = std::min(list.find(',', from), list.size());
    std::string one = list.substr(from, comma - from);
    from = comma + 1;
    one.erase(std::remove(one.begin(), one.end(), ' '), one.end());
    const std::size_t semicolon = std::min(one.find(';'), one.size());
    const std::string name = one.substr(0, semicolon), weight = one.substr(semicolon);
    if (name == "gzip" || name == "*") return weight.empty() || weight.find_first_of("123456789") != std::string::npos;
  }
  return false;
}

void send(const Reply& reply, const Request& asked, Response& out, const char* cache_control) {
  const bool zip = accepts().gzip && !reply.zipped.empty();
  if (!reply.tag.empty() && reply.status == 200) {
    out.set_header("ETag", zip ? compressed_tag(reply.tag) : reply.tag);
    out.set_header("Cache-Control", cache_control);
    if (holds_tag(asked.get_header_value("If-None-Match"), reply.tag)) {
      out.status = 304;
      return;
    }
  } else {
    out.set_header("Cache-Control", "no-store");
  }
  out.status = reply.status;
  if (zip) out.set_header("Content-Encoding", "gzip");
  if (!reply.answer.save_as.empty())
    out.set_header("Content-Disposition", "attachment; filename=\"" + reply.answer.save_as + "\"");
  out.set_content(zip ? reply.zipped : reply.answer.bytes, reply.answer.type);
}

}  // namespace

// ---- the library's server, on our connections -------------------------------------------------------------------

namespace {

/// Threads that serve connections, and how many connections have none yet.
class Crew final : public httplib::TaskQueue {
 public:
  Crew(int threads, std::atomic<int>& waiting) : pool_(static_cast<std::size_t>(threads)), waiting_(waiting) {}

  void enqueue(std::function<void()> serve) override {
    ++waiting_;
    pool_.enqueue([this, serve = std::move(serve)] {
      --waiting_;
      serve();
    });
  }
  void shutdown() override { pool_.shutdown(); }

 private:
  httplib::ThreadPool pool_;
  std::atomic<int>& waiting_;
};

class Listener final : public httplib::Server {
 public:
  Listener(ConnectionLimits limits, const std::atomic<bool>& stopping) : limits_(limits), stopping_(stopping) {}

  std::atomic<int> waiting{0};

  /// The library asks for a queue of five connections, too short for a browser that opens six at once.
  void lengthen_queue() { ::listen(svr_sock_, SOMAXCONN); }

 private:
  bool process_and_close_socket(socket_t socket) override {
    Connection connection(socket, limits_);
    Connection::current() = &connection;
    for (int count = 0; count < static_cast<int>(kMostRequests) && !connection.hung_up(); ++count) {
      if (!connection.wait_for_request(stopping_, waiting)) break;
      bool closed = false;
      const bool answered =
          process_request(connection, stopping_, closed, [&](Request& asked) { prepare(asked, connection); });
      if (!answered || closed || stopping_) break;
    }
    Connection::current() = nullptr;
    return true;
  }

  /// Before the library looks at it: what it would do on its own is taken out, and a request whose end the library
  /// would see elsewhere than a proxy before it (RFC 9112, 6.3 and 11.2) is the last on its connection.
  static void prepare(Request& asked, Connection& connection) {
    asked.ranges.clear();
    accepts().gzip = accepts_gzip(asked.get_header_value("Accept-Encoding"));
    asked.headers.erase("Accept-Encoding");
    const bool takes_body = asked.method == "POST" || asked.method == "PUT";
    const std::string length = asked.get_header_value("Content-Length");
    const bool has_body = asked.has_header("Transfer-Encoding") || (!length.empty() && length != "0");
    if ((has_body && !takes_body) || (asked.has_header("Transfer-Encoding") && !length.empty()) ||
        asked.get_header_value_count("Content-Length") > 1)
      connection.hang_up();
  }

  const ConnectionLimits limits_;
  const std::atomic<bool>& stopping_;
};

}  // namespace

// ---- answering ------------------------------------------------------------------------------------------------------

struct Server::Room {
  Room(ServerOptions o, Answers a, JobFiles& j)
      : options(std::move(o)),
        answers(std::move(a)),
        jobs(j),
        house{is_loopback(options.host), options.token, options.known_as},
        cache(options.cache_bytes),
        gate(computing(), options.waiting),
        workers(static_cast<std::size_t>(computing())),
        listener({.request_bytes = options.most_body_bytes + kHead + 1}, stopping) {
    listener.new_task_queue = [this] { return new Crew(options.connections, listener.waiting); };
    listener.set_default_headers(house_headers());
    listener.set_tcp_nodelay(true);
    // The library would let a second server share the port unseen (SO_REUSEPORT); a taken port should be told.
    listener.set_socket_options([](socket_t socket) {
      const int yes = 1;
      ::setsockopt(socket, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
    });
    listener.set_keep_alive_max_count(kMostRequests);
    listener.set_pre_routing_handler([this](const Request& asked, Response& out) {
      return before_the_body(asked, out) ? httplib::Server::HandlerResponse::Handled
                                         : httplib::Server::HandlerResponse::Unhandled;
    });
    // Only paths that before_the_body let through come here, so these need not be exact.
    using httplib::ContentReader;
    listener.Post("/api/v1/[a-z./]{1,60}", [this](const Request& asked, Response& out, const ContentReader& reader) {
      if (std::optional<std::string> body = whole_body(asked, out, reader)) compute(asked, *std::move(body), out);
    });
    listener.Put("/api/v1/jobs/[A-Za-z0-9_-]{1,99}",
                 [this](const Request& asked, Response& out, const ContentReader& reader) {
                   if (std::optional<std::string> body = whole_body(asked, out, reader)) save_job(asked, *body, out);
                 });
    listener.set_error_handler([](const Request&, Response& out) {
      if (!out.body.empty() || out.status < 400) return;
      const Connection* connection = Connection::current();
      if (out.status == 400 && connection && connection->over_its_limits()) out.status = 431;
      send_problem(out, out.status, {words_for(out.status)});
    });
    listener.set_exception_handler(
        [](const Request&, Response& out, std::exception_ptr thrown) { fault(out, thrown); });
  }

  ~Room() {
    if (ender.joinable()) ender.join();
    workers.shutdown();  // the library's pool does not join its threads by itself
  }

  int computing() const {
    if (options.computing > 0) return options.computing;
    return static_cast<int>(std::max(1u, std::thread::hardware_concurrency()));
  }

  static void fault(Response& out, const std::exception_ptr& thrown) {
    try {
      std::rethrow_exception(thrown);
    } catch (const std::bad_alloc&) {
      out.set_header("Retry-After", "5");
      send_problem(out, 503,
                   {error("out-of-memory", "there is no memory for this now", "ask again later, or for less")});
    } catch (const std::exception& what) {
      send_problem(out, 500, {error("fault", std::string("a fault in the program: ") + what.what())});
    } catch (...) {
      send_problem(out, 500, {error("fault", "a fault in the program")});
    }
  }

  // -- what is decided before a body is read; true when that is the answer --

  bool before_the_body(const Request& asked, Response& out) {
    if (decided(asked, out)) {
      // A body that nobody will read must not be taken for the next request.
      if (asked.has_header("Content-Length") || asked.has_header("Transfer-Encoding")) Connection::current()->hang_up();
      if (Connection::current()->hung_up()) out.set_header("Connection", "close");
      return true;
    }
    return false;
  }

  bool decided(const Request& asked, Response& out) {
    if (asked.method == "GET" && asked.path == "/" && asked.has_param("token") && !house.token.empty())
      return greet(asked, out);
    if (const std::optional<Refusal> refused = refusal(caller_of(asked), house)) {
      if (refused->status == 401) out.set_header("WWW-Authenticate", "Bearer");
      return send_problem(out, refused->status, {refused->why}), true;
    }
    if (asked.path == "/healthz") return health(asked, out), true;
    if (Connection::current()->hung_up())
      return send_problem(out, 400,
                          {error("bad-request", "where the request ends is not clear",
                                 "send no body here, and one Content-Length where there is a body")}),
             true;
    if (draining) return come_back(out, "the server is about to stop"), true;

    const std::vector<std::string> methods = methods_at(asked.path);
    if (methods.empty()) return not_found(asked, out), true;
    if (std::find(methods.begin(), methods.end(), asked.method) == methods.end())
      return wrong_method(asked, methods, out), true;
    if (asked.method == "POST" || asked.method == "PUT") return wrong_type(asked, out);
    get(asked, out);
    return true;
  }

  static Caller caller_of(const Request& asked) {
    return {asked.path,
            asked.get_header_value("Host"),
            asked.get_header_value("Origin"),
            asked.get_header_value("Sec-Fetch-Site"),
            asked.get_header_value("Authorization"),
            asked.get_header_value("Cookie")};
  }

  /// /?token=… sets the cookie and goes on to the page, so that the token does not stay in the address.
  bool greet(const Request& asked, Response& out) {
    Caller caller = caller_of(asked);
    caller.authorization = "Bearer " + asked.get_param_value("token");
    caller.cookie.clear();
    if (const std::optional<Refusal> refused = refusal(caller, house))
      return send_problem(out, refused->status, {refused->why}), true;
    out.status = 303;
    out.set_header("Set-Cookie", token_cookie(house.token));
    out.set_header("Location", "/");
    out.set_header("Cache-Control", "no-store");
    return true;
  }

  void health(const Request& asked, Response& out) {
    if (asked.method != "GET" && asked.method != "HEAD") return wrong_method(asked, {"GET", "HEAD"}, out);
    out.status = draining ? 503 : 200;
    out.set_header("Cache-Control", "no-store");
    out.set_content(Json{{"state", draining ? "draining" : "ready"}, {"version", options.version}}.dump() + "\n",
                    "application/json");
  }

  static std::vector<std::string> methods_at(const std::string& path) {
    if (Answers::about_a_job(path)) return {"POST"};
    if (path.starts_with(kJobsPrefix))
      return JobFiles::is_name(path.substr(std::strlen(kJobsPrefix))) ? std::vector<std::string>{"GET", "HEAD", "PUT"}
                                                                      : std::vector<std::string>{};
    if (Answers::about_the_shelves(path) || path == kJobs || page_file(path).reply) return {"GET", "HEAD"};
    return {};
  }

  static void not_found(const Request& asked, Response& out) {
    send_problem(
        out, 404,
        {error("not-found", "there is nothing at " + garthwright::quoted(asked.path), "see /api/v1/openapi.json")});
  }

  static void wrong_method(const Request& asked, const std::vector<std::string>& methods, Response& out) {
    std::string allowed;
    for (const std::string& one : methods) allowed += (allowed.empty() ? "" : ", ") + one;
    out.set_header("Allow", allowed);
    send_problem(out, 405,
                 {error("wrong-method",
                        garthwright::quoted(asked.path) + " is not asked with " + garthwright::quoted(asked.method),
                        "use " + allowed)});
  }

  /// A form or script of another site cannot send this type without asking first, which is never granted.
  static bool wrong_type(const Request& asked, Response& out) {
    std::string type = asked.get_header_value("Content-Type");
    type = type.substr(0, type.find(';'));
    while (type.ends_with(' ')) type.pop_back();
    std::transform(type.begin(), type.end(), type.begin(), [](unsigned char c) { return std::tolower(c); });
    if (type == "application/toml" && !asked.has_header("Content-Encoding")) return false;
    send_problem(out, 415,
                 {error("wrong-type",
                        type == "application/toml" ? "the body is encoded" : "the body is " + garthwright::quoted(type),
                        "send the job's text as application/toml")});
    return true;
  }

  void get(const Request& asked, Response& out) {
    if (const PageFile file = page_file(asked.path); file.reply)
      return send(*file.reply, asked, out, file.for_ever ? "public, max-age=31536000, immutable" : "no-cache");
    if (asked.path == kJobs) return list_jobs(out);
    if (asked.path.starts_with(kJobsPrefix)) return read_job(asked, out);
    compute(asked, {}, out);
  }

  // -- bodies --

  /// The body; none when it is too large or does not arrive, and then the answer is made.
  std::optional<std::string> whole_body(const Request& asked, Response& out, const httplib::ContentReader& reader) {
    std::string body;
    const std::string length = asked.get_header_value("Content-Length");
    bool fits = length.size() < 10 && std::strtoull(length.c_str(), nullptr, 10) <= options.most_body_bytes;
    const bool arrived = fits && reader([&](const char* part, std::size_t size) {
                           fits = body.size() + size <= options.most_body_bytes;
                           if (fits) body.append(part, size);
                           return fits;
                         });
    if (arrived) return body;
    Connection::current()->hang_up();
    out.set_header("Connection", "close");
    if (!fits || Connection::current()->over_its_limits())
      send_problem(out, 413,
                   {error("too-large", "the job is too large",
                          fmt::format("send at most {} kB", options.most_body_bytes >> 10))});
    else
      send_problem(out, 400, {error("bad-request", "the body did not arrive whole", "send it again")});
    return std::nullopt;
  }

  // -- computing --

  /// Everything that the answer depends on.
  std::string whole_question(const Question& question) const {
    std::string key = question.path + '\0';
    for (const auto& [name, value] : question.parameters) key += name + '=' + value + '\0';
    return key + answers.shelf_state() + '\0' + question.job;
  }

  static void come_back(Response& out, const std::string& why) {
    out.set_header("Retry-After", "1");
    send_problem(out, 503, {error("busy", why, "ask again in a second")});
  }

  void compute(const Request& asked, std::string body, Response& out) {
    Question question{asked.path, {}, std::move(body)};
    for (const auto& [name, value] : asked.params) question.parameters.emplace(name, value);
    const std::string key = whole_question(question);
    std::shared_ptr<const Reply> reply = cache.find(key);
    if (!reply) {
      Watched watched;
      watched.socket = Connection::current()->socket();
      watched.until =
          std::chrono::steady_clock::now() + std::chrono::milliseconds(static_cast<long>(options.seconds * 1000));
      watch.begin(watched);
      reply = watched_reply(question, watched, out);
      watch.end(watched);
      if (!reply) return;
      cache.keep(key, reply);
    }
    send(*reply, asked, out, "private, no-cache");
  }

  /// Runs it on one of the computing threads and waits. Allocators keep memory for each thread that ever computed:
  /// these are few, the threads that serve connections are many.
  std::exception_ptr on_a_worker(const std::function<void()>& work) {
    std::promise<std::exception_ptr> done;
    workers.enqueue([&] {
      std::exception_ptr thrown;
      try {
        work();
      } catch (...) {
        thrown = std::current_exception();
      }
      done.set_value(thrown);
    });
    return done.get_future().get();
  }

  /// None when it was not computed; then the answer says why.
  std::shared_ptr<const Reply> watched_reply(const Question& question, Watched& watched, Response& out) {
    if (!gate.enter(watched.cancel)) {
      if (watched.cancel) return halted(watched, out), nullptr;
      return come_back(out, "as much is being computed as may wait for its turn"), nullptr;
    }
    std::shared_ptr<const Reply> reply;
    const std::exception_ptr thrown = on_a_worker([&] {
      Result<Answer> answer = answers.answer(question, watched.cancel);
      if (!watched.cancel)
        reply = std::make_shared<Reply>(answer ? prepared(200, *std::move(answer))
                                               : prepared(400, {"application/json", problem_json(answer.error()), {}}));
    });
    if (thrown)
      fault(out, thrown);
    else if (!reply)
      halted(watched, out);
    gate.leave();
    return reply;
  }

  void halted(const Watched& watched, Response& out) {
    if (watched.halt == Halt::too_long)
      return send_problem(out, 504,
                          {error("too-long", fmt::format("the answer took longer than {:g} s", options.seconds),
                                 "ask for less: fewer structures, or one choice at a time")});
    come_back(out, watched.halt == Halt::client_left ? "the client has left" : "the server is about to stop");
  }

  // -- job files --

  void list_jobs(Response& out) {
    Json list = Json::array();
    for (const JobFiles::Listed& job : jobs.list())
      list.push_back({{"name", job.name}, {"title", job.title}, {"etag", job.tag}});
    out.status = 200;
    out.set_header("Cache-Control", "no-store");
    out.set_content(list.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n", "application/json");
  }

  void read_job(const Request& asked, Response& out) {
    const std::optional<std::string> text = jobs.read(asked.path.substr(std::strlen(kJobsPrefix)));
    if (!text) return not_found(asked, out);
    // Never compressed: its tag is the one to save with.
    Reply reply{200, {"application/toml", *text, {}}, content_tag(*text), {}};
    send(reply, asked, out, "private, no-cache");
  }

  void save_job(const Request& asked, const std::string& text, Response& out) {
    const std::string name = asked.path.substr(std::strlen(kJobsPrefix));
    const std::string if_match = asked.get_header_value("If-Match");
    const bool make = asked.get_header_value("If-None-Match") == "*";
    if (if_match.empty() && !make)
      return send_problem(out, 428,
                          {error("no-tag", "it is not said which text this one replaces",
                                 "send If-Match with the ETag last read, or If-None-Match: * for a new file")});
    using Saved = JobFiles::Saved;
    const Result<Saved> saved = jobs.save(name, text, if_match, make);
    if (!saved) return send_problem(out, 500, saved.error());
    switch (*saved) {
      case Saved::saved:
      case Saved::made:
        out.status = *saved == Saved::made ? 201 : 204;
        out.set_header("ETag", content_tag(text));
        return;
      case Saved::missing:
        return not_found(asked, out);
      case Saved::no_folder:
        return send_problem(
            out, 404, {error("no-folder", "the server has no folder for new jobs", "start it with --jobs-dir DIR")});
      case Saved::changed:
        return send_problem(out, 412,
                            {error("changed", "the file has changed since it was read",
                                   "read it again, and save what you want to keep of both")});
      case Saved::there_already:
        return send_problem(out, 412,
                            {error("there-already", "there is a job " + garthwright::quoted(name) + " already",
                                   "choose another name")});
    }
  }

  // -- life --

  void begin_draining() {
    draining = true;
    const std::lock_guard lock(ending);
    if (ender.joinable()) return;
    // Until nothing is being computed; then the listener may go.
    ender = std::thread([this] {
      while (!started) std::this_thread::sleep_for(std::chrono::milliseconds(5));
      while (gate.busy() > 0) std::this_thread::sleep_for(std::chrono::milliseconds(10));
      stopping = true;
      listener.stop();
    });
  }

  const ServerOptions options;
  const Answers answers;
  JobFiles& jobs;
  const House house;
  AnswerCache cache;
  Watch watch;
  Gate gate;
  httplib::ThreadPool workers;
  std::atomic<bool> draining{false}, stopping{false}, started{false};
  Listener listener;
  int port = 0;
  std::mutex ending;
  std::thread ender;
};

// ---- the server as others see it ------------------------------------------------------------------------------------

Server::Server(std::unique_ptr<Room> room) : room_(std::move(room)) {}

Server::~Server() = default;

Result<std::unique_ptr<Server>> Server::open(ServerOptions options, Answers answers, JobFiles& jobs) {
  if (!is_loopback(options.host) && options.token.empty())
    return fail("no-token",
                "beyond this machine (" + garthwright::quoted(options.host) + ") nothing is served without a token",
                "give --token with a secret of your own, or leave --host out");
  auto room = std::make_unique<Room>(std::move(options), std::move(answers), jobs);
  const std::string& host = room->options.host;
  errno = 0;
  if (room->options.port == 0)
    room->port = room->listener.bind_to_any_port(host);
  else if (room->listener.bind_to_port(host, room->options.port))
    room->port = room->options.port;
  if (room->port <= 0)
    return fail("no-port",
                fmt::format("cannot listen on {} port {}: {}", host, room->options.port,
                            errno != 0 ? std::strerror(errno) : "no such address"),
                "give another --port (0 for any), or another --host");
  room->listener.lengthen_queue();
  return std::unique_ptr<Server>(new Server(std::move(room)));
}

int Server::port() const { return room_->port; }

std::string Server::address() const {
  const std::string& host = room_->options.host;
  return fmt::format("http://{}:{}/", host.find(':') == std::string::npos ? host : "[" + host + "]", room_->port);
}

void Server::run() {
  room_->started = true;
  room_->listener.listen_after_bind();
  if (room_->ender.joinable()) room_->ender.join();
}

void Server::drain() { room_->begin_draining(); }

void Server::stop() {
  room_->begin_draining();
  room_->watch.stop_all();
}

}  // namespace garthwright::server
