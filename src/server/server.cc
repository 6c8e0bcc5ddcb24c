// SPDX-License-Identifier: Apache-2.0
#include "server/server.h"

#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <boost/asio/post.hpp>
#include <boost/asio/thread_pool.hpp>
#include <cstring>
#include <exception>
#include <future>
#include <thread>

#include "base/quoted.h"
#include "exchange/diagnostics_json.h"
#include "server/answer_cache.h"
#include "server/connections.h"
#include "server/content_tag.h"
#include "server/gate.h"
#include "server/guard.h"
#include "server/manual.h"
#include "server/message.h"
#include "server/page.h"

namespace garthwright::server {
namespace {

using exchange::Json;
using exchange::problem_json;

constexpr int kMoreThanCompute = 8;                  // threads that answer what needs no computing
constexpr std::chrono::milliseconds kToNotice{500};  // a computation that was told to stop may take to do so
constexpr std::chrono::milliseconds kLongWork{500};  // a computation so long leaves much memory behind
constexpr double kToWrite = 3;  // s of a computation's time at most, for what is ready to be written down
constexpr const char* kJobs = "/api/v1/jobs";
constexpr const char* kJobsPrefix = "/api/v1/jobs/";
constexpr const char* kKeepAsking = "private, no-cache";

// What a browser is told of every answer. Nothing comes from elsewhere; the page shows sheets and pictures it has
// itself fetched (blob:), and no other site may frame it.
const std::vector<std::pair<std::string, std::string>>& house_headers() {
  static const std::vector<std::pair<std::string, std::string>> headers{
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

Diagnostic error(std::string code, std::string what, std::string cure = {}) {
  return {Severity::error, std::move(code), std::move(what), std::move(cure), {}};
}

// ---- sending --------------------------------------------------------------------------------------------------------

Response problem(int status, const Diagnostics& why) {
  Response out;
  out.status = status;
  out.set("Cache-Control", "no-store");
  out.set_body(problem_json(why), "application/json");
  return out;
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

Response sent(const std::shared_ptr<const Reply>& reply, const Request& asked, const char* cache_control) {
  Response out;
  const bool zip = !reply->zipped.empty() && accepts_gzip(asked.field("accept-encoding"));
  if (!reply->tag.empty() && reply->status == 200 && reply->answer.whole) {
    out.set("ETag", zip ? compressed_tag(reply->tag) : reply->tag);
    out.set("Cache-Control", cache_control);
    if (holds_tag(asked.field("if-none-match"), reply->tag)) {
      out.status = 304;
      return out;
    }
  } else {
    out.set("Cache-Control", "no-store");
  }
  out.status = reply->status;
  if (zip) out.set("Content-Encoding", "gzip");
  if (!reply->answer.save_as.empty())
    out.set("Content-Disposition", "attachment; filename=\"" + reply->answer.save_as + "\"");
  out.body = {reply, zip ? &reply->zipped : &reply->answer.bytes};
  out.type = reply->answer.type;
  return out;
}

/// One computation: of the crew's thread that waits for it, and of the worker that makes it, which may take longer.
struct Work {
  Question question;
  Watched watched;
  Patience patience;  ///< ends before the watch does
  Tell tell;          ///< to its client, as long as it is watched
  std::shared_ptr<const Reply> reply;
  std::promise<void> done;
};

}  // namespace

// ---- answering ------------------------------------------------------------------------------------------------------

struct Server::Room {
  Room(ServerOptions o, Answers a, JobFiles& j)
      : options(std::move(o)),
        answers(std::move(a)),
        jobs(j),
        house{is_loopback(options.host), options.token, options.known_as},
        manual(options.manual),
        cache(options.cache_bytes),
        gate(computing(), options.waiting),
        workers(static_cast<std::size_t>(computing())),
        connections(limits(), answering(), house_headers()) {}

  ~Room() {
    wait_for_the_end();
    watch.stop_all();
    workers.join();
  }

  int computing() const {
    if (options.computing > 0) return options.computing;
    return static_cast<int>(std::max(1u, std::thread::hardware_concurrency()));
  }

  ConnectionLimits limits() const {
    ConnectionLimits all;
    all.request.body_bytes = options.most_body_bytes;
    all.connections = static_cast<std::size_t>(options.connections);
    all.crew = computing() + options.waiting + kMoreThanCompute;
    return all;
  }

  Answering answering() {
    return {[this](const Request& asked) { return before_the_body(asked); },
            [this](Request& asked, const Client& client) { return answer(asked, client); },
            [](int status, const Diagnostic& why) { return problem(status, {why}); }};
  }

  // -- what is decided before a body is read --

  std::optional<Response> before_the_body(const Request& asked) const {
    if (asked.method == "GET" && asked.path == "/" && asked.parameters.count("token") && !house.token.empty())
      return greet(asked);
    if (const std::optional<Refusal> refused = refusal(caller_of(asked), house)) return turned_away(asked, *refused);
    if (asked.path == "/healthz") return health(asked);
    if (draining) return come_back("the server is about to stop");
    const std::vector<std::string> methods = methods_at(asked.path);
    if (methods.empty()) return not_found(asked);
    if (std::find(methods.begin(), methods.end(), asked.method) == methods.end()) return wrong_method(asked, methods);
    if (asked.method == "POST" || asked.method == "PUT") return wrong_type(asked);
    return std::nullopt;
  }

  Response answer(Request& asked, const Client& client) {
    if (asked.method == "PUT") return save_job(asked);
    if (asked.method == "POST") return compute(asked, client);
    if (const PageFile file = page_file(asked.path); file.reply)
      return sent(file.reply, asked, file.for_ever ? "public, max-age=31536000, immutable" : "no-cache");
    if (manual.has(asked.path)) {
      Response out = sent(manual.file(asked.path), asked, "no-cache");
      out.set("Content-Security-Policy", Manual::kPolicy);
      return out;
    }
    if (asked.path == kJobs) return list_jobs();
    if (asked.path.starts_with(kJobsPrefix)) return read_job(asked);
    return compute(asked, client);
  }

  static Caller caller_of(const Request& asked) {
    return {asked.path, asked.field("host"),
            // Said and empty is not left out: no browser says it so of a page of this house.
            asked.has("origin") && asked.field("origin").empty() ? "null" : asked.field("origin"),
            asked.field("sec-fetch-site"), asked.field("authorization"), asked.field("cookie")};
  }

  static Response turned_away(const Request& asked, const Refusal& refused) {
    Response out = problem(refused.status, {refused.why});
    if (refused.status != 401) return out;
    out.set("WWW-Authenticate", "Bearer");
    if (is_for_a_person(asked.path, asked.field("accept"))) {
      const std::shared_ptr<const Reply> page = door_page();
      out.body = {page, &page->answer.bytes};
      out.type = page->answer.type;
    }
    return out;
  }

  /// /?token=… sets the session's cookie and goes on to the page, so that the token does not stay in the address.
  Response greet(const Request& asked) const {
    Caller caller = caller_of(asked);
    caller.authorization = "Bearer " + asked.parameters.at("token");
    caller.cookie.clear();
    if (const std::optional<Refusal> refused = refusal(caller, house)) return turned_away(asked, *refused);
    Response out;
    out.status = 303;
    out.set("Set-Cookie", session_cookie(caller.host, house.token));
    out.set("Location", "/");
    out.set("Cache-Control", "no-store");
    return out;
  }

  Response health(const Request& asked) const {
    if (asked.method != "GET" && asked.method != "HEAD") return wrong_method(asked, {"GET", "HEAD"});
    Response out;
    out.status = draining ? 503 : 200;
    out.set("Cache-Control", "no-store");
    out.set_body(Json{{"state", draining ? "draining" : "ready"}, {"version", options.version}}.dump() + "\n",
                 "application/json");
    return out;
  }

  std::vector<std::string> methods_at(const std::string& path) const {
    if (Answers::about_a_job(path)) return {"POST"};
    if (path.starts_with(kJobsPrefix))
      return JobFiles::is_name(path.substr(std::strlen(kJobsPrefix))) ? std::vector<std::string>{"GET", "HEAD", "PUT"}
                                                                      : std::vector<std::string>{};
    if (Answers::about_the_shelves(path) || path == kJobs || page_file(path).reply || manual.has(path))
      return {"GET", "HEAD"};
    return {};
  }

  static Response not_found(const Request& asked) {
    return problem(404, {error("not-found", "there is nothing at " + garthwright::quoted(asked.path),
                               "see /api/v1/openapi.json")});
  }

  static Response wrong_method(const Request& asked, const std::vector<std::string>& methods) {
    std::string allowed;
    for (const std::string& one : methods) allowed += (allowed.empty() ? "" : ", ") + one;
    Response out =
        problem(405, {error("wrong-method",
                            garthwright::quoted(asked.path) + " is not asked with " + garthwright::quoted(asked.method),
                            "use " + allowed)});
    out.set("Allow", allowed);
    return out;
  }

  /// A form or script of another site cannot send this type without asking first, which is never granted.
  static std::optional<Response> wrong_type(const Request& asked) {
    std::string type = asked.field("content-type");
    type = type.substr(0, type.find(';'));
    while (type.ends_with(' ')) type.pop_back();
    std::transform(type.begin(), type.end(), type.begin(), [](unsigned char c) { return std::tolower(c); });
    if (type == "application/toml" && !asked.has("content-encoding")) return std::nullopt;
    return problem(
        415, {error("wrong-type",
                    type == "application/toml" ? "the body is encoded" : "the body is " + garthwright::quoted(type),
                    "send the job's text as application/toml")});
  }

  // -- computing --

  /// Everything that the answer depends on.
  std::string whole_question(const Question& question) const {
    std::string key = question.path + '\0';
    for (const auto& [name, value] : question.parameters) key += name + '=' + value + '\0';
    return key + answers.shelf_state() + '\0' + question.job;
  }

  static Response come_back(const std::string& why) {
    Response out = problem(503, {error("busy", why, "ask again in a second")});
    out.set("Retry-After", "1");
    return out;
  }

  /// Lines of an answer, as they become known.
  static Tell ahead_to(const Client& client) {
    return [send = client.send_ahead](std::string line) {
      Response part;
      part.set("Cache-Control", "no-store");
      part.set_body(std::move(line), kLines);
      send(std::move(part));
    };
  }

  Response compute(Request& asked, const Client& client) {
    Question question{asked.path, asked.parameters, std::move(asked.body)};
    const std::string key = whole_question(question);
    if (const std::shared_ptr<const Reply> known = cache.find(key)) return sent(known, asked, kKeepAsking);

    const auto work = std::make_shared<Work>();
    work->question = std::move(question);
    Watched& watched = work->watched;
    watched.socket = client.socket;
    work->tell = ahead_to(client);
    watched.until = Patience::in(options.seconds);
    work->patience = {&watched.cancel, Patience::in(options.seconds - std::min(kToWrite, options.seconds / 4))};
    ++awaited;
    watch.begin(watched);
    const bool let_in = gate.enter(watched.cancel);
    const bool done = let_in && done_by_a_worker(work);
    watch.end(watched);
    --awaited;
    if (!let_in && !watched.cancel) return come_back("as much is being computed as may wait for its turn");
    if (!done || !work->reply) return halted(watched);
    if (work->reply->answer.whole) cache.keep(key, work->reply);
    return sent(work->reply, asked, kKeepAsking);
  }

  /// Runs it on one of the computing threads and waits: allocators keep memory for each thread that ever computed, and
  /// these are few. False when it was told to stop and does not notice: then it goes on alone, and keeps its place
  /// among those that compute until it ends.
  bool done_by_a_worker(const std::shared_ptr<Work>& work) {
    std::future<void> done = work->done.get_future();
    boost::asio::post(workers, [this, work] {
      const auto began = std::chrono::steady_clock::now();
      try {
        if (!work->watched.cancel) work->reply = answered(*work);
        gate.leave();
        work->done.set_value();
      } catch (...) {
        gate.leave();
        work->done.set_exception(std::current_exception());
      }
      if (options.tidy && std::chrono::steady_clock::now() - began > kLongWork) options.tidy();
    });
    std::optional<std::chrono::steady_clock::time_point> told;
    while (done.wait_for(std::chrono::milliseconds(50)) == std::future_status::timeout) {
      const auto now = std::chrono::steady_clock::now();
      if (work->watched.cancel && !told) told = now;
      if (told && now - *told > kToNotice) return false;
    }
    done.get();
    return true;
  }

  /// None when it was stopped before it was whole.
  std::shared_ptr<const Reply> answered(const Work& work) const {
    Result<Answer> made = answers.answer(work.question, work.patience, work.tell);
    if (work.watched.cancel) return nullptr;
    if (made) return std::make_shared<Reply>(prepared(200, *std::move(made)));
    const bool too_long = made.error().front().code == "too-long";
    return std::make_shared<Reply>(
        prepared(too_long ? 504 : 400, {"application/json", problem_json(made.error()), {}, !too_long}));
  }

  Response halted(const Watched& watched) const {
    if (watched.halt == Halt::too_long)
      return problem(504, {error("too-long", fmt::format("the answer took longer than {:g} s", options.seconds),
                                 "ask for less: fewer structures, or one choice at a time")});
    return come_back(watched.halt == Halt::client_left ? "the client has left" : "the server is about to stop");
  }

  // -- job files --

  Response list_jobs() const {
    Json list = Json::array();
    for (const JobFiles::Listed& job : jobs.list())
      list.push_back({{"name", job.name}, {"title", job.title}, {"etag", job.tag}});
    Response out;
    out.set("Cache-Control", "no-store");
    out.set_body(list.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n", "application/json");
    return out;
  }

  Response read_job(const Request& asked) const {
    const std::optional<std::string> text = jobs.read(asked.path.substr(std::strlen(kJobsPrefix)));
    if (!text) return not_found(asked);
    // Never compressed: its tag is the one to save with.
    return sent(std::make_shared<Reply>(Reply{200, {"application/toml", *text, {}}, content_tag(*text), {}}), asked,
                kKeepAsking);
  }

  Response save_job(const Request& asked) {
    const std::string name = asked.path.substr(std::strlen(kJobsPrefix));
    const std::string if_match = asked.field("if-match");
    const bool make = asked.field("if-none-match") == "*";
    if (if_match.empty() && !make)
      return problem(428, {error("no-tag", "it is not said which text this one replaces",
                                 "send If-Match with the ETag last read, or If-None-Match: * for a new file")});
    using Saved = JobFiles::Saved;
    const Result<Saved> saved = jobs.save(name, asked.body, if_match, make);
    if (!saved) return problem(500, saved.error());
    switch (*saved) {
      case Saved::saved:
      case Saved::made: {
        Response out;
        out.status = *saved == Saved::made ? 201 : 204;
        out.set("ETag", content_tag(asked.body));
        return out;
      }
      case Saved::missing:
        return not_found(asked);
      case Saved::no_folder:
        return problem(404,
                       {error("no-folder", "the server has no folder for new jobs", "start it with --jobs-dir DIR")});
      case Saved::changed:
        return problem(412, {error("changed", "the file has changed since it was read",
                                   "read it again, and save what you want to keep of both")});
      case Saved::there_already:
        return problem(412, {error("there-already", "there is a job " + garthwright::quoted(name) + " already",
                                   "choose another name")});
    }
    throw std::logic_error("a way of saving has no answer");
  }

  // -- life --

  void begin_draining() {
    if (draining.exchange(true)) return;
    const std::lock_guard lock(ending);
    // Until nobody waits for a computation; then the connections may go.
    ender = std::thread([this] {
      while (!started) std::this_thread::sleep_for(std::chrono::milliseconds(5));
      while (awaited > 0) std::this_thread::sleep_for(std::chrono::milliseconds(10));
      connections.stop();
    });
  }

  /// What ends the connections may have done so before whoever began it has put it where it is kept.
  void wait_for_the_end() {
    std::thread last;
    {
      const std::lock_guard lock(ending);
      last = std::move(ender);
    }
    if (last.joinable()) last.join();
  }

  const ServerOptions options;
  const Answers answers;
  JobFiles& jobs;
  const House house;
  const Manual manual;
  AnswerCache cache;
  Watch watch;
  Gate gate;
  boost::asio::thread_pool workers;
  std::atomic<bool> draining{false}, started{false};
  std::atomic<int> awaited{0};  // computations whose clients are still to be answered
  Connections connections;
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
  const Result<int> port = room->connections.open(room->options.host, room->options.port);
  if (!port) return tl::make_unexpected(port.error());
  room->port = *port;
  return std::unique_ptr<Server>(new Server(std::move(room)));
}

int Server::port() const { return room_->port; }

std::string Server::address() const {
  const std::string& host = room_->options.host;
  return fmt::format("http://{}:{}/", host.find(':') == std::string::npos ? host : "[" + host + "]", room_->port);
}

void Server::run() {
  room_->started = true;
  room_->connections.run();
  room_->wait_for_the_end();
}

bool Server::is_busy() const { return room_->gate.busy() > 0; }

void Server::drain() { room_->begin_draining(); }

void Server::stop() {
  room_->begin_draining();
  room_->watch.stop_all();
}

}  // namespace garthwright::server
