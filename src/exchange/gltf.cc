// SPDX-License-Identifier: Apache-2.0
#include "exchange/gltf.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstdint>
#include <map>
#include <nlohmann/json.hpp>

#include "exchange/model_bodies.h"
#include "structure/garden_frame.h"

namespace garthwright::exchange {
namespace {

using Json = nlohmann::ordered_json;

// Numbers of the specification's tables: 3.6.2.2 (component types), 3.6.1 (targets), 4.4 (container).
constexpr int kFloat = 5126, kUnsignedInt = 5125, kArrayBuffer = 34962, kElementArrayBuffer = 34963;
constexpr std::uint32_t kMagic = 0x46546C67, kVersion = 2, kJsonChunk = 0x4E4F534A, kBinaryChunk = 0x004E4942;

// The animation: how far off things appear, mm, and in seconds the first, from one to the next, moving, between stages.
constexpr double kOff = 800, kFirst = 0.5, kApart = 0.25, kMoving = 0.75, kPause = 0.75;

void append(std::string& bytes, std::uint32_t value) {
  for (int shift = 0; shift < 32; shift += 8) bytes.push_back(static_cast<char>((value >> shift) & 0xFF));
}
void append(std::string& bytes, float value) { append(bytes, std::bit_cast<std::uint32_t>(value)); }

float metres(double mm) { return static_cast<float>(mm / 1000); }

class Scene {
 public:
  explicit Scene(double deflection) : deflection_(deflection) {}

  std::string bytes(const std::vector<Model>& models) {
    // The garden's z is up, the file's y: a quarter turn about x.
    const double r = std::sqrt(0.5);
    const std::size_t garden = add_node({{"name", "garden"}, {"rotation", {-r, 0, 0, r}}});
    Json children = Json::array();
    for (const Model& model : models) {
      const auto node = add_structure(model);
      if (node >= 0) children.push_back(node);
    }
    if (!children.empty()) nodes_[garden]["children"] = children;
    double clock = kFirst;
    for (const Model& model : models)
      if (model.stages != nullptr) clock = animate(model, clock);
    return packed();
  }

 private:
  std::size_t add_node(Json node) {
    nodes_.push_back(std::move(node));
    return nodes_.size() - 1;
  }

  long add_structure(const Model& model) {
    Json children = Json::array();
    std::vector<std::pair<std::string, Json>> groups;  // in the order in which they come
    for (Body body : solid_bodies(*model.structure)) {
      const long mesh = mesh_of(model, body);
      if (mesh < 0) continue;
      Json node{{"name", instance_name(*model.structure, body)}};
      place(node, frame_of(*model.structure, body));
      node["mesh"] = mesh;
      node["extras"] = extras(*model.structure, body);
      const std::size_t at = add_node(std::move(node));
      node_of_[{model.structure, body}] = at;
      const std::string group = group_name(*model.structure, body);
      if (group.empty()) {
        children.push_back(at);
        continue;
      }
      auto known = std::find_if(groups.begin(), groups.end(), [&](const auto& g) { return g.first == group; });
      if (known == groups.end()) known = groups.insert(groups.end(), {group, Json::array()});
      known->second.push_back(at);
    }
    for (auto& [group, members] : groups) children.push_back(add_node({{"name", group}, {"children", members}}));
    if (children.empty()) return -1;
    Json node{{"name", model.structure->name}};
    place(node, garden_frame(*model.structure));
    node["children"] = children;
    return static_cast<long>(add_node(std::move(node)));
  }

  static Json extras(const Structure& structure, Body body) {
    if (body.kind != Body::Kind::piece) return {{"panel", structure[PanelId{body.index}].name}};
    const Piece& piece = structure[PieceId{body.index}];
    Json told{{"mark", piece.mark}, {"length_mm", std::round(piece.length.value() * 1000) / 1000}};
    if (piece.section.index >= 0 && static_cast<std::size_t>(piece.section.index) < structure.sections.size())
      told["section"] = structure[piece.section].name;
    return told;
  }

  /// As translation and rotation, which an animation may move.
  static void place(Json& node, const Frame& f) {
    if (f == Frame{}) return;
    const auto list = [](auto... values) {
      Json out = Json::array();
      (out.push_back(values + 0.0), ...);  // no minus before a zero
      return out;
    };
    node["translation"] = list(f.origin.x / 1000, f.origin.y / 1000, f.origin.z / 1000);
    const std::array<double, 4> q = turn_of(f);
    if (q[3] < 1) node["rotation"] = list(q[0], q[1], q[2], q[3]);
  }

  /// The unit quaternion x, y, z, w of the frame's axes: from the largest of its four parts, so that none is lost.
  static std::array<double, 4> turn_of(const Frame& f) {
    const std::array<double, 4> four{1 + f.x.x - f.y.y - f.z.z, 1 - f.x.x + f.y.y - f.z.z, 1 - f.x.x - f.y.y + f.z.z,
                                     1 + f.x.x + f.y.y + f.z.z};
    const auto most = static_cast<std::size_t>(std::max_element(four.begin(), four.end()) - four.begin());
    std::array<double, 4> q{};
    switch (most) {
      case 0:
        q = {four[0], f.x.y + f.y.x, f.z.x + f.x.z, f.y.z - f.z.y};
        break;
      case 1:
        q = {f.x.y + f.y.x, four[1], f.y.z + f.z.y, f.z.x - f.x.z};
        break;
      case 2:
        q = {f.z.x + f.x.z, f.y.z + f.z.y, four[2], f.x.y - f.y.x};
        break;
      default:
        q = {f.y.z - f.z.y, f.z.x - f.x.z, f.x.y - f.y.x, four[3]};
    }
    double size = 0;
    for (const double part : q) size += part * part;
    for (double& part : q) part /= std::sqrt(size);
    return q;
  }

  // ---- the order of work ----

  /// Appends what goes in on the site, stage after stage; returns when the next may begin, s.
  double animate(const Model& model, double clock) {
    for (const sequence::Stage& stage : *model.stages) {
      double begins = clock;
      for (const sequence::Motion& motion : stage.motions) {
        if (motion.at != sequence::kSite) continue;
        for (const Body body : motion.bodies) move_in(*model.structure, body, motion.way, begins);
        begins += kApart;
      }
      if (begins > clock) clock = begins - kApart + kMoving + kPause;
    }
    return clock;
  }

  /// Unseen until it begins; then from a little way off to its place.
  void move_in(const Structure& structure, Body body, Vec3 way, double begins) {
    const auto node = node_of_.find({&structure, body});
    if (node == node_of_.end()) return;
    const Vec3 to = frame_of(structure, body).origin, from = to - kOff * way;
    add_channel(node->second, "scale", "STEP", {0, begins}, {Vec3{0, 0, 0}, Vec3{1, 1, 1}}, 1);
    add_channel(node->second, "translation", "LINEAR", {begins, begins + kMoving}, {from, to}, 1000);
  }

  void add_channel(std::size_t node, const char* path, const char* between, std::array<double, 2> times,
                   std::array<Vec3, 2> values, double per_unit) {
    const std::size_t input = add_numbers({times[0], times[1]}, "SCALAR");
    accessors_[input]["min"] = {static_cast<float>(times[0])};
    accessors_[input]["max"] = {static_cast<float>(times[1])};
    std::vector<double> numbers;
    for (const Vec3& v : values)
      for (int i = 0; i < 3; ++i) numbers.push_back(v[i] / per_unit + 0.0);
    const std::size_t output = add_numbers(numbers, "VEC3");
    channels_.push_back({{"sampler", samplers_.size()}, {"target", {{"node", node}, {"path", path}}}});
    samplers_.push_back({{"input", input}, {"output", output}, {"interpolation", between}});
  }

  std::size_t add_numbers(const std::vector<double>& numbers, const std::string& type) {
    const std::size_t start = buffer_.size();
    for (const double n : numbers) append(buffer_, static_cast<float>(n));
    views_.push_back({{"buffer", 0}, {"byteOffset", start}, {"byteLength", buffer_.size() - start}});
    accessors_.push_back({{"bufferView", views_.size() - 1},
                          {"componentType", kFloat},
                          {"count", type == "VEC3" ? numbers.size() / 3 : numbers.size()},
                          {"type", type}});
    return accessors_.size() - 1;
  }

  // Pieces of one mark share one mesh: the solids hand out the same triangles for them.
  long mesh_of(const Model& model, Body body) {
    const solid::Mesh& mesh = model.solids->mesh(body, deflection_);
    const auto [known, fresh] = meshes_known_.try_emplace(&mesh, -1);
    if (fresh && !mesh.triangles.empty()) known->second = add_mesh(model, body, mesh);
    return known->second;
  }

  long add_mesh(const Model& model, Body body, const solid::Mesh& mesh) {
    using Corner = std::array<float, 6>;
    std::map<Corner, std::uint32_t> known;
    std::vector<Corner> corners;
    std::vector<std::uint32_t> indices;
    for (const auto& t : mesh.triangles) {
      const Vec3 a = mesh.points[t[0]], b = mesh.points[t[1]], c = mesh.points[t[2]];
      const Vec3 twice = cross(b - a, c - a);
      if (norm(twice) < 1e-6) continue;
      const Vec3 n = unit(twice);
      for (const Vec3& p : {a, b, c}) {
        const auto f = [](double v) { return static_cast<float>(v) + 0.0F; };
        const Corner corner{metres(p.x), metres(p.y), metres(p.z), f(n.x), f(n.y), f(n.z)};
        const auto [at, fresh] = known.try_emplace(corner, static_cast<std::uint32_t>(corners.size()));
        if (fresh) corners.push_back(corner);
        indices.push_back(at->second);
      }
    }
    if (indices.empty()) return -1;

    const std::size_t positions = add_vectors(corners, 0), normals = add_vectors(corners, 3);
    const std::size_t start = buffer_.size();
    for (std::uint32_t i : indices) append(buffer_, i);
    add_view(start, kElementArrayBuffer);
    accessors_.push_back({{"bufferView", views_.size() - 1},
                          {"componentType", kUnsignedInt},
                          {"count", indices.size()},
                          {"type", "SCALAR"}});
    const Json primitive{{"attributes", {{"POSITION", positions}, {"NORMAL", normals}}},
                         {"indices", accessors_.size() - 1},
                         {"material", material_of(tone(*model.structure, body))}};
    meshes_.push_back({{"name", part_name(*model.structure, body)}, {"primitives", Json::array({primitive})}});
    return static_cast<long>(meshes_.size()) - 1;
  }

  std::size_t add_vectors(const std::vector<std::array<float, 6>>& corners, std::size_t first) {
    const std::size_t start = buffer_.size();
    std::array<float, 3> low, high;
    for (std::size_t i = 0; i < 3; ++i) low[i] = high[i] = corners.front()[first + i];
    for (const auto& corner : corners) {
      for (std::size_t i = 0; i < 3; ++i) {
        append(buffer_, corner[first + i]);
        low[i] = std::min(low[i], corner[first + i]);
        high[i] = std::max(high[i], corner[first + i]);
      }
    }
    add_view(start, kArrayBuffer);
    accessors_.push_back({{"bufferView", views_.size() - 1},
                          {"componentType", kFloat},
                          {"count", corners.size()},
                          {"type", "VEC3"},
                          {"min", low},
                          {"max", high}});
    return accessors_.size() - 1;
  }

  void add_view(std::size_t start, int target) {
    views_.push_back(
        {{"buffer", 0}, {"byteOffset", start}, {"byteLength", buffer_.size() - start}, {"target", target}});
  }

  std::size_t material_of(const Tone& tone) {
    const auto [known, fresh] = materials_known_.try_emplace(tone.name, materials_.size());
    if (fresh) {
      materials_.push_back({{"name", tone.name},
                            {"pbrMetallicRoughness",
                             {{"baseColorFactor", {tone.red, tone.green, tone.blue, 1.0F}},
                              {"metallicFactor", 0},
                              {"roughnessFactor", 0.9}}}});
    }
    return known->second;
  }

  std::string packed() const {
    Json root{{"asset", {{"version", "2.0"}, {"generator", "garthwright"}}},
              {"scene", 0},
              {"scenes", Json::array({{{"nodes", {0}}}})},
              {"nodes", nodes_}};
    if (!meshes_.empty()) {
      root["meshes"] = meshes_;
      root["materials"] = materials_;
      root["accessors"] = accessors_;
      root["bufferViews"] = views_;
      root["buffers"] = Json::array({{{"byteLength", buffer_.size()}}});
    }
    if (!channels_.empty())
      root["animations"] = Json::array({{{"name", "order of work"}, {"channels", channels_}, {"samplers", samplers_}}});
    std::string json = root.dump(-1, ' ', false, Json::error_handler_t::replace);
    while (json.size() % 4 != 0) json.push_back(' ');

    // Every number in the buffer is four bytes long, so it needs no padding.
    const bool binary = !buffer_.empty();
    const std::size_t total = 12 + 8 + json.size() + (binary ? 8 + buffer_.size() : 0);
    std::string bytes;
    bytes.reserve(total);
    for (std::uint32_t v : {kMagic, kVersion, static_cast<std::uint32_t>(total)}) append(bytes, v);
    append(bytes, static_cast<std::uint32_t>(json.size()));
    append(bytes, kJsonChunk);
    bytes += json;
    if (binary) {
      append(bytes, static_cast<std::uint32_t>(buffer_.size()));
      append(bytes, kBinaryChunk);
      bytes += buffer_;
    }
    return bytes;
  }

  const double deflection_;
  Json nodes_ = Json::array(), meshes_ = Json::array(), materials_ = Json::array(), accessors_ = Json::array(),
       views_ = Json::array(), channels_ = Json::array(), samplers_ = Json::array();
  std::string buffer_;
  std::map<std::pair<const Structure*, Body>, std::size_t> node_of_;
  std::map<const solid::Mesh*, long> meshes_known_;
  std::map<std::string, std::size_t> materials_known_;
};

}  // namespace

std::string glb_bytes(const std::vector<Model>& models, double deflection) { return Scene(deflection).bytes(models); }

}  // namespace garthwright::exchange
