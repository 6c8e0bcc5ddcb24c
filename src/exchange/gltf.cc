// SPDX-License-Identifier: Apache-2.0
#include "exchange/gltf.h"

#include <array>
#include <bit>
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
    return packed();
  }

 private:
  std::size_t add_node(Json node) {
    nodes_.push_back(std::move(node));
    return nodes_.size() - 1;
  }

  long add_structure(const Model& model) {
    Json children = Json::array();
    for (Body body : solid_bodies(*model.structure)) {
      const long mesh = mesh_of(model, body);
      if (mesh < 0) continue;
      Json node{{"name", instance_name(*model.structure, body)}};
      place(node, frame_of(*model.structure, body));
      node["mesh"] = mesh;
      children.push_back(add_node(std::move(node)));
    }
    if (children.empty()) return -1;
    Json node{{"name", model.structure->name}};
    place(node, garden_frame(*model.structure));
    node["children"] = children;
    return static_cast<long>(add_node(std::move(node)));
  }

  static void place(Json& node, const Frame& f) {
    Json matrix = Json::array();
    for (const Vec3& column : {f.x, f.y, f.z}) {
      for (int i = 0; i < 3; ++i) matrix.push_back(column[i] + 0.0);  // no minus before a zero
      matrix.push_back(0.0);
    }
    for (int i = 0; i < 3; ++i) matrix.push_back(f.origin[i] / 1000 + 0.0);
    matrix.push_back(1.0);
    if (f != Frame{}) node["matrix"] = matrix;
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
       views_ = Json::array();
  std::string buffer_;
  std::map<const solid::Mesh*, long> meshes_known_;
  std::map<std::string, std::size_t> materials_known_;
};

}  // namespace

std::string glb_bytes(const std::vector<Model>& models, double deflection) { return Scene(deflection).bytes(models); }

}  // namespace garthwright::exchange
