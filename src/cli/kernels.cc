// SPDX-License-Identifier: Apache-2.0
//
// The bare kernels, open to anyone's check: a text in, a text out.
#include <functional>
#include <memory>

#include "assembly/cases.h"
#include "cli/command.h"
#include "frame/frame_json.h"

namespace garthwright::cli {

using Answer = std::function<Result<std::string>(std::string_view text, const std::string& file)>;

static Status answer(const std::string& path, const Answer& kernel) {
  const Result<std::string> text = read_text(path);
  if (!text) return wrong(text.error());
  const Result<std::string> said = kernel(*text, path == "-" ? "standard input" : path);
  return said ? write_out(*said) : wrong(said.error());
}

static void add_kernel(CommandLine& words, const char* name, const char* takes, const char* help, const char* note,
                       const Answer& kernel) {
  auto path = std::make_shared<std::string>();
  Command command = words.add(name, help);
  command.argument(takes, *path, "JSON file, or - for standard input");
  command.note(note);
  command.runs([path, kernel] { return answer(*path, kernel); });
}

void add_frame(CommandLine& words) {
  add_kernel(
      words, "frame", "FRAME", "Solve a bare space frame: displacements, reactions, forces at member ends",
      "JSON in:  {\"nodes\": [{\"id\", \"xyz_mm\": [3]}],\n"
      "           \"members\": [{\"id\", \"ends\": [node, node], \"area_mm2\", \"iy_mm4\", \"iz_mm4\", \"j_mm4\",\n"
      "                        \"e_mpa\", \"g_mpa\", \"up\": [3], \"releases\"?, \"springs\"?, \"offsets_mm\"?}],\n"
      "           \"supports\": [{\"node\", \"fixed\": [6 booleans] or \"springs\": [6 numbers]}],\n"
      "           \"links\"?: [{\"id\", \"nodes\": [2], \"at_mm\": [3], \"axis\": [3], \"k_along_n_mm\", "
      "\"k_across_n_mm\"}],\n"
      "           \"contacts\"?: [{\"id\", \"nodes\": [2], \"at_mm\": [3], \"normal\": [3], \"k_n_mm\", "
      "\"gap_mm\"?, \"crushes_at_n\"?, \"crushed_n_mm\"?}],\n"
      "           \"loads\": [{\"node\", \"force_n\": [3], \"moment_nmm\": [3]} or {\"member\", \"uniform_n_per_mm\": "
      "[3]}]}\n"
      "JSON out: {\"displacements\": […], \"reactions\": […], \"members\": […], \"links\": […], \"contacts\": […],\n"
      "           \"proof\"}, in mm, rad, N and N·mm. A link holds two nodes' bodies together at one point; a contact "
      "pushes\n"
      "them apart along its normal, which points to the second, and never pulls; the proof says how near that holds.",
      frame::solve_frame_json);
}

void add_order(CommandLine& words) {
  add_kernel(words, "order", "CASES", "Answer bare questions about the order in which solids can be put together",
             "JSON in and out: docs/order-cases.md.", assembly::answer_cases_json);
}

}  // namespace garthwright::cli
