// SPDX-License-Identifier: Apache-2.0
#include "frame/frame_json.h"

#include <fmt/format.h>

#include <cmath>
#include <initializer_list>
#include <map>
#include <nlohmann/json.hpp>

#include "base/parse_json.h"

namespace garthwright::frame {
namespace {

using Json = nlohmann::ordered_json;

/// Names keep their kind: 7 and "7" are two nodes, and each comes back as it was written.
using Key = std::string;
Key key_of(const Json& name) { return name.dump(); }
std::string shown(const Json& name) { return name.is_string() ? name.get<std::string>() : name.dump(); }

struct Document {
  Frame frame;
  std::vector<Json> node_names, member_names, link_names, contact_names;
};

class Reader {
 public:
  explicit Reader(std::string file) : file_(std::move(file)) {}

  Result<Document> read(std::string_view text);

 private:
  void fault(std::string code, std::string what, std::string cure, const std::string& at) {
    faults_.push_back(
        {Severity::error, std::move(code), fmt::format("{}: {}", at, what), std::move(cure), Place{file_, 0, 0, ""}});
  }

  void read_nodes(const Json& root);
  void read_members(const Json& root);
  void read_supports(const Json& root);
  void read_links(const Json& root);
  void read_contacts(const Json& root);
  void read_loads(const Json& root);
  std::array<NodeIndex, 2> pair_of_nodes(const Json& object, const char* name, const std::string& at,
                                         const std::string& id);
  void read_joints(const Json& object, const std::string& at, Member& member);

  const Json* list(const Json& root, const char* name, bool needed);
  bool is_object(const Json& value, const std::string& at, std::initializer_list<std::string_view> keys);
  const Json* member_of(const Json& object, const char* name, const std::string& at);
  double number(const Json& object, const char* name, const std::string& at);
  Vec3 triple(const Json& object, const char* name, const std::string& at, bool needed = true);
  std::array<bool, 6> booleans(const Json& value, const std::string& at);
  Vec6 springs(const Json& value, const std::string& at);
  std::optional<Json> name_in(const Json& object, const char* name, const std::string& at);
  std::optional<std::size_t> find(const std::map<Key, std::size_t>& names, const Json& object, const char* name,
                                  const char* kind, const std::string& at);
  std::optional<std::size_t> find_named(const std::map<Key, std::size_t>& names, const Json& value, const char* kind,
                                        const std::string& at);
  void add_name(std::map<Key, std::size_t>& names, std::vector<Json>& list, const Json& name, const char* kind,
                const std::string& at);

  std::string file_;
  Diagnostics faults_;
  Document document_;
  std::map<Key, std::size_t> nodes_, members_, links_, contacts_;
};

const Json* Reader::list(const Json& root, const char* name, bool needed) {
  const auto it = root.find(name);
  if (it == root.end()) {
    if (needed) fault("missing-key", "is missing", fmt::format("give a list of {}", name), name);
    return nullptr;
  }
  if (it->is_array()) return &*it;
  fault("wrong-kind", "is not a list", "write it in square brackets", name);
  return nullptr;
}

bool Reader::is_object(const Json& value, const std::string& at, std::initializer_list<std::string_view> keys) {
  if (!value.is_object()) {
    fault("wrong-kind", "is not an object", "write it in curly brackets", at);
    return false;
  }
  for (const auto& [key, _] : value.items()) {
    if (key == "title" || key == "note") continue;
    if (std::find(keys.begin(), keys.end(), key) == keys.end())
      fault("unknown-key", fmt::format("'{}' is not a known key", key),
            fmt::format("known are {}", fmt::join(keys, ", ")), at);
  }
  return true;
}

const Json* Reader::member_of(const Json& object, const char* name, const std::string& at) {
  const auto it = object.find(name);
  if (it != object.end()) return &*it;
  fault("missing-key", fmt::format("'{}' is missing", name), "", at);
  return nullptr;
}

double Reader::number(const Json& object, const char* name, const std::string& at) {
  const Json* value = member_of(object, name, at);
  if (!value) return 1;  // the fault is told; any number will do to read on
  if (value->is_number()) return value->get<double>();
  fault("wrong-kind", "is not a number", "write a number", fmt::format("{}.{}", at, name));
  return 1;
}

Vec3 Reader::triple(const Json& object, const char* name, const std::string& at, bool needed) {
  if (!needed && !object.contains(name)) return {};
  const Json* value = member_of(object, name, at);
  if (!value) return {};
  Vec3 v{};
  bool good = value->is_array() && value->size() == 3;
  for (std::size_t i = 0; good && i < 3; ++i) {
    good = (*value)[i].is_number();
    if (good) v[i] = (*value)[i].get<double>();
  }
  if (!good) fault("wrong-kind", "is not three numbers", "write [x, y, z]", fmt::format("{}.{}", at, name));
  return v;
}

std::array<bool, 6> Reader::booleans(const Json& value, const std::string& at) {
  std::array<bool, 6> v{};
  bool good = value.is_array() && value.size() == 6;
  for (std::size_t i = 0; good && i < 6; ++i) {
    good = value[i].is_boolean();
    if (good) v[i] = value[i].get<bool>();
  }
  if (!good)
    fault("wrong-kind", "is not six booleans", "write true or false for shifts along x y z and turns about x y z", at);
  return v;
}

Vec6 Reader::springs(const Json& value, const std::string& at) {
  Vec6 v = kAllRigid;
  bool good = value.is_array() && value.size() == 6;
  for (std::size_t i = 0; good && i < 6; ++i) {
    good = value[i].is_number() || value[i].is_null();
    if (value[i].is_number()) v[i] = value[i].get<double>();
    if (value[i].is_number() && v[i] < 0) {
      fault("bad-spring", fmt::format("the spring {} is below zero", v[i]), "give zero or a stiffness above zero", at);
      v[i] = kRigid;
    }
  }
  if (!good) fault("wrong-kind", "is not six numbers", "write N/mm for the shifts, N·mm/rad for the turns", at);
  return v;
}

std::optional<Json> Reader::name_in(const Json& object, const char* name, const std::string& at) {
  const Json* value = member_of(object, name, at);
  if (!value) return std::nullopt;
  if (value->is_string() || value->is_number_integer()) return *value;
  fault("wrong-kind", "is not a name", "write a text or a whole number", fmt::format("{}.{}", at, name));
  return std::nullopt;
}

std::optional<std::size_t> Reader::find(const std::map<Key, std::size_t>& names, const Json& object, const char* name,
                                        const char* kind, const std::string& at) {
  const Json* value = member_of(object, name, at);
  return value ? find_named(names, *value, kind, fmt::format("{}.{}", at, name)) : std::nullopt;
}

std::optional<std::size_t> Reader::find_named(const std::map<Key, std::size_t>& names, const Json& value,
                                              const char* kind, const std::string& at) {
  if (!value.is_string() && !value.is_number_integer()) {
    fault("wrong-kind", "is not a name", "write a text or a whole number", at);
    return std::nullopt;
  }
  const auto it = names.find(key_of(value));
  if (it != names.end()) return it->second;
  fault(fmt::format("unknown-{}", kind), fmt::format("there is no {} '{}'", kind, shown(value)),
        fmt::format("name one of the {}s of this frame", kind), at);
  return std::nullopt;
}

void Reader::add_name(std::map<Key, std::size_t>& names, std::vector<Json>& list, const Json& name, const char* kind,
                      const std::string& at) {
  if (!names.emplace(key_of(name), list.size()).second)
    fault("same-name", fmt::format("{} '{}' is there twice", kind, shown(name)), "give each its own id", at);
  list.push_back(name);
}

void Reader::read_nodes(const Json& root) {
  const Json* nodes = list(root, "nodes", true);
  for (std::size_t i = 0; nodes && i < nodes->size(); ++i) {
    const Json& object = (*nodes)[i];
    const std::string at = fmt::format("nodes[{}]", i);
    if (!is_object(object, at, {"id", "xyz_mm"})) continue;
    const std::optional<Json> id = name_in(object, "id", at);
    if (id) add_name(nodes_, document_.node_names, *id, "node", at);
    document_.frame.nodes.push_back({id ? shown(*id) : "", triple(object, "xyz_mm", at)});
  }
}

void Reader::read_joints(const Json& object, const std::string& at, Member& member) {
  const auto both_ends = [&](const char* name) -> const Json* {
    const auto it = object.find(name);
    if (it == object.end() || it->is_null()) return nullptr;
    if (it->is_array() && it->size() == 2) return &*it;
    fault("wrong-kind", "is not a pair of lists", "write [[six], [six]] for the two ends",
          fmt::format("{}.{}", at, name));
    return nullptr;
  };
  if (const Json* springs_at = both_ends("springs"))
    for (int end : {0, 1}) member.joint[end] = springs((*springs_at)[end], fmt::format("{}.springs[{}]", at, end));
  if (const Json* releases = both_ends("releases"))
    for (int end : {0, 1}) {
      const std::string place = fmt::format("{}.releases[{}]", at, end);
      const std::array<bool, 6> released = booleans((*releases)[end], place);
      for (int way = 0; way < 6; ++way) {
        if (!released[way]) continue;
        if (std::isfinite(member.joint[end][way]) && member.joint[end][way] > 0)
          fault("bad-release", fmt::format("way {} is both released and sprung", way + 1), "keep one of the two",
                place);
        member.joint[end][way] = 0;
      }
    }
}

std::array<NodeIndex, 2> Reader::pair_of_nodes(const Json& object, const char* name, const std::string& at,
                                               const std::string& id) {
  std::array<NodeIndex, 2> nodes{};
  const Json* pair = member_of(object, name, at);
  if (!pair) return nodes;
  if (!pair->is_array() || pair->size() != 2) {
    fault("wrong-kind", "is not a pair of nodes", "write [node, node]", fmt::format("{}.{}", at, name));
    return nodes;
  }
  for (int end : {0, 1})
    if (const auto node = find_named(nodes_, (*pair)[end], "node", fmt::format("{}.{}[{}] of '{}'", at, name, end, id)))
      nodes[end] = *node;
  return nodes;
}

void Reader::read_members(const Json& root) {
  const Json* members = list(root, "members", true);
  for (std::size_t i = 0; members && i < members->size(); ++i) {
    const Json& object = (*members)[i];
    const std::string at = fmt::format("members[{}]", i);
    if (!is_object(object, at,
                   {"id", "ends", "area_mm2", "iy_mm4", "iz_mm4", "j_mm4", "e_mpa", "g_mpa", "up", "releases",
                    "springs", "offsets_mm"}))
      continue;
    Member member;
    const std::optional<Json> id = name_in(object, "id", at);
    if (id) add_name(members_, document_.member_names, *id, "member", at);
    member.id = id ? shown(*id) : "";
    member.ends = pair_of_nodes(object, "ends", at, member.id);
    member.area_mm2 = number(object, "area_mm2", at);
    member.iy_mm4 = number(object, "iy_mm4", at);
    member.iz_mm4 = number(object, "iz_mm4", at);
    member.j_mm4 = number(object, "j_mm4", at);
    member.e_mpa = number(object, "e_mpa", at);
    member.g_mpa = number(object, "g_mpa", at);
    member.up = triple(object, "up", at);
    read_joints(object, at, member);
    if (const auto offsets = object.find("offsets_mm"); offsets != object.end() && !offsets->is_null()) {
      if (!offsets->is_array() || offsets->size() != 2)
        fault("wrong-kind", "is not a pair of lists", "write [[x, y, z], [x, y, z]] for the two ends",
              at + ".offsets_mm");
      else
        for (int end : {0, 1}) {
          const Json one = {{"offset", (*offsets)[end]}};
          member.offset_mm[end] = triple(one, "offset", fmt::format("{}.offsets_mm[{}]", at, end));
        }
    }
    document_.frame.members.push_back(member);
  }
}

void Reader::read_supports(const Json& root) {
  const Json* supports = list(root, "supports", false);
  for (std::size_t i = 0; supports && i < supports->size(); ++i) {
    const Json& object = (*supports)[i];
    const std::string at = fmt::format("supports[{}]", i);
    if (!is_object(object, at, {"node", "fixed", "springs"})) continue;
    Support support;
    const auto node = find(nodes_, object, "node", "node", at);
    const bool fixed = object.contains("fixed"), sprung = object.contains("springs");
    if (!fixed && !sprung) fault("missing-key", "neither 'fixed' nor 'springs' is there", "give one of them", at);
    if (sprung) support.stiffness = springs(object["springs"], at + ".springs");
    if (fixed) {
      const std::array<bool, 6> held = booleans(object["fixed"], at + ".fixed");
      for (int way = 0; way < 6; ++way)
        if (held[way]) support.stiffness[way] = kRigid;
    }
    if (!node) continue;
    support.node = *node;
    document_.frame.supports.push_back(support);
  }
}

void Reader::read_links(const Json& root) {
  const Json* links = list(root, "links", false);
  for (std::size_t i = 0; links && i < links->size(); ++i) {
    const Json& object = (*links)[i];
    const std::string at = fmt::format("links[{}]", i);
    if (!is_object(object, at, {"id", "nodes", "at_mm", "axis", "k_along_n_mm", "k_across_n_mm"})) continue;
    const std::optional<Json> id = name_in(object, "id", at);
    if (id) add_name(links_, document_.link_names, *id, "link", at);
    Link link;
    link.id = id ? shown(*id) : "";
    link.nodes = pair_of_nodes(object, "nodes", at, link.id);
    link.at_mm = triple(object, "at_mm", at);
    link.axis = triple(object, "axis", at);
    link.k_along_n_mm = number(object, "k_along_n_mm", at);
    link.k_across_n_mm = number(object, "k_across_n_mm", at);
    document_.frame.links.push_back(link);
  }
}

void Reader::read_contacts(const Json& root) {
  const Json* contacts = list(root, "contacts", false);
  for (std::size_t i = 0; contacts && i < contacts->size(); ++i) {
    const Json& object = (*contacts)[i];
    const std::string at = fmt::format("contacts[{}]", i);
    if (!is_object(object, at, {"id", "nodes", "at_mm", "normal", "k_n_mm", "gap_mm", "crushes_at_n", "crushed_n_mm"}))
      continue;
    const std::optional<Json> id = name_in(object, "id", at);
    if (id) add_name(contacts_, document_.contact_names, *id, "contact", at);
    Contact contact;
    contact.id = id ? shown(*id) : "";
    contact.nodes = pair_of_nodes(object, "nodes", at, contact.id);
    contact.at_mm = triple(object, "at_mm", at);
    contact.normal = triple(object, "normal", at);
    contact.k_n_mm = number(object, "k_n_mm", at);
    if (object.contains("gap_mm")) contact.gap_mm = number(object, "gap_mm", at);
    if (object.contains("crushes_at_n")) contact.crushes_at_n = number(object, "crushes_at_n", at);
    if (object.contains("crushed_n_mm")) contact.crushed_n_mm = number(object, "crushed_n_mm", at);
    document_.frame.contacts.push_back(contact);
  }
}

void Reader::read_loads(const Json& root) {
  const Json* loads = list(root, "loads", false);
  for (std::size_t i = 0; loads && i < loads->size(); ++i) {
    const Json& object = (*loads)[i];
    const std::string at = fmt::format("loads[{}]", i);
    if (!object.is_object()) {
      fault("wrong-kind", "is not an object", "write it in curly brackets", at);
    } else if (object.contains("node") == object.contains("member")) {
      fault("wrong-load", "stands on neither or on both of a node and a member", "give 'node' or 'member'", at);
    } else if (object.contains("node")) {
      is_object(object, at, {"node", "force_n", "moment_nmm"});
      const auto node = find(nodes_, object, "node", "node", at);
      const Vec3 force = triple(object, "force_n", at, false), moment = triple(object, "moment_nmm", at, false);
      if (node) document_.frame.loads.on_nodes.push_back({*node, force, moment});
    } else {
      is_object(object, at, {"member", "uniform_n_per_mm"});
      const auto member = find(members_, object, "member", "member", at);
      const Vec3 uniform = triple(object, "uniform_n_per_mm", at);
      if (member) document_.frame.loads.on_members.push_back({*member, uniform});
    }
  }
}

Result<Document> Reader::read(std::string_view text) {
  const Result<Json> parsed = parse_json<Json>(text, file_);
  if (!parsed) return tl::unexpected(parsed.error());
  const Json& root = *parsed;
  if (!is_object(root, "the document", {"nodes", "members", "supports", "links", "contacts", "loads"}))
    return tl::unexpected(std::move(faults_));
  read_nodes(root);
  read_members(root);
  read_supports(root);
  read_links(root);
  read_contacts(root);
  read_loads(root);
  if (!faults_.empty()) return tl::unexpected(std::move(faults_));
  for (Diagnostic& d : faults_ = check(document_.frame)) d.where.file = file_;
  if (!faults_.empty()) return tl::unexpected(std::move(faults_));
  return std::move(document_);
}

Json list_of(const Vec3& v) { return {v[0] + 0.0, v[1] + 0.0, v[2] + 0.0}; }

Json to_json(const Wrench& w) { return {{"force_n", list_of(w.force_n)}, {"moment_nmm", list_of(w.moment_nmm)}}; }

/// Names in ASCII: none commands a terminal.
std::string as_text(const Json& out) { return out.dump(2, ' ', true) + "\n"; }

std::string write(const Document& document, const Solution& solution) {
  Json out = {{"displacements", Json::array()}, {"reactions", Json::array()}, {"members", Json::array()}};
  for (std::size_t n = 0; n < solution.displacements.size(); ++n)
    out["displacements"].push_back({{"node", document.node_names[n]},
                                    {"translation_mm", list_of(solution.displacements[n].translation_mm)},
                                    {"rotation_rad", list_of(solution.displacements[n].rotation_rad)}});
  for (std::size_t s = 0; s < solution.reactions.size(); ++s) {
    Json reaction = {{"node", document.node_names[document.frame.supports[s].node]}};
    reaction.update(to_json(solution.reactions[s]));
    out["reactions"].push_back(reaction);
  }
  for (std::size_t m = 0; m < solution.members.size(); ++m)
    out["members"].push_back(
        {{"id", document.member_names[m]},
         {"ends", Json::array({to_json(solution.members[m].end[0]), to_json(solution.members[m].end[1])})}});
  if (solution.links.empty() && solution.contacts.empty()) return as_text(out);
  out["links"] = out["contacts"] = Json::array();
  for (std::size_t l = 0; l < solution.links.size(); ++l)
    out["links"].push_back({{"id", document.link_names[l]}, {"force_n", list_of(solution.links[l])}});
  for (std::size_t c = 0; c < solution.contacts.size(); ++c)
    out["contacts"].push_back({{"id", document.contact_names[c]},
                               {"push_n", solution.contacts[c].push_n},
                               {"gap_mm", solution.contacts[c].gap_mm}});
  const Proof& p = solution.proof;
  out["proof"] = {{"least_push_n", p.least_push_n},
                  {"least_gap_mm", p.least_gap_mm},
                  {"most_push_times_gap_nmm", p.most_push_times_gap_nmm},
                  {"out_of_balance", p.out_of_balance},
                  {"steps", p.steps}};
  return as_text(out);
}

}  // namespace

Result<Frame> read_frame_json(std::string_view text, const std::string& file_name) {
  return Reader(file_name).read(text).map([](Document&& document) { return std::move(document.frame); });
}

Result<std::string> solve_frame_json(std::string_view text, const std::string& file_name) {
  Result<Document> document = Reader(file_name).read(text);
  if (!document) return tl::unexpected(std::move(document.error()));
  Result<Solution> solution = solve(document->frame);
  if (!solution) {
    for (Diagnostic& d : solution.error()) d.where.file = file_name;
    return tl::unexpected(std::move(solution.error()));
  }
  return write(*document, *solution);
}

}  // namespace garthwright::frame
