// SPDX-License-Identifier: Apache-2.0
#include "exchange/step.h"

#include <APIHeaderSection_MakeHeader.hxx>
#include <Interface_Static.hxx>
#include <Message.hxx>
#include <Message_Messenger.hxx>
#include <Message_Printer.hxx>
#include <STEPCAFControl_Writer.hxx>
#include <STEPControl_Controller.hxx>
#include <Standard_Failure.hxx>
#include <StepData_Protocol.hxx>
#include <StepData_StepModel.hxx>
#include <StepData_StepWriter.hxx>
#include <StepRepr_NextAssemblyUsageOccurrence.hxx>
#include <TCollection_ExtendedString.hxx>
#include <TCollection_HAsciiString.hxx>
#include <TDF_Label.hxx>
#include <TDataStd_Name.hxx>
#include <TDocStd_Document.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS_Shape.hxx>
#include <XCAFApp_Application.hxx>
#include <XCAFDoc_DocumentTool.hxx>
#include <XCAFDoc_ShapeTool.hxx>
#include <XSControl_WorkSession.hxx>
#include <map>
#include <sstream>

#include "exchange/model_bodies.h"
#include "structure/garden_frame.h"

namespace garthwright::exchange {
namespace {

void call(const TDF_Label& label, const std::string& name) {
  TDataStd_Name::Set(label, TCollection_ExtendedString(name.c_str(), true));
}

TopLoc_Location location(const Frame& f) {
  gp_Trsf t;
  t.SetValues(f.x.x, f.y.x, f.z.x, f.origin.x, f.x.y, f.y.y, f.z.y, f.origin.y, f.x.z, f.y.z, f.z.z, f.origin.z);
  return TopLoc_Location(t);
}

// The kernel's document for as long as it is being written.
class Document {
 public:
  Document() {
    XCAFApp_Application::GetApplication()->NewDocument("MDTV-XCAF", document_);
    shapes_ = XCAFDoc_DocumentTool::ShapeTool(document_->Main());
    shapes_->SetAutoNaming(false);
  }
  ~Document() { XCAFApp_Application::GetApplication()->Close(document_); }
  Document(const Document&) = delete;
  Document& operator=(const Document&) = delete;

  int add(const std::vector<Model>& models) {
    const TDF_Label garden = shapes_->NewShape();
    call(garden, "garden");
    int bodies = 0;
    for (const Model& model : models) {
      const TDF_Label assembly = shapes_->NewShape();
      call(assembly, model.structure->name);
      int here = 0;
      for (Body body : solid_bodies(*model.structure)) here += add(model, body, assembly);
      if (here > 0)
        call(shapes_->AddComponent(garden, assembly, location(garden_frame(*model.structure))), model.structure->name);
      bodies += here;
    }
    shapes_->UpdateAssemblies();
    return bodies;
  }

  const Handle(TDocStd_Document) & handle() const { return document_; }

 private:
  int add(const Model& model, Body body, const TDF_Label& assembly) {
    const TopoDS_Shape& shape = model.solids->shape(body);
    if (!TopExp_Explorer(shape, TopAbs_SOLID).More()) return 0;
    const auto [known, fresh] = parts_.try_emplace(&shape);
    if (fresh) {
      known->second = shapes_->AddShape(shape, false);
      call(known->second, part_name(*model.structure, body));
    }
    const Frame& frame = frame_of(*model.structure, body);
    call(shapes_->AddComponent(assembly, known->second, location(frame)), instance_name(*model.structure, body));
    return 1;
  }

  Handle(TDocStd_Document) document_;
  Handle(XCAFDoc_ShapeTool) shapes_;
  std::map<const TopoDS_Shape*, TDF_Label> parts_;
};

Handle(TCollection_HAsciiString) text(const char* words) { return new TCollection_HAsciiString(words); }

// The translator puts the clock and the host into the header; a file that is to be the same tomorrow has neither.
void set_header(const Handle(StepData_StepModel) & model) {
  APIHeaderSection_MakeHeader header(model);
  header.SetName(text("garden"));
  header.SetTimeStamp(text("1970-01-01T00:00:00"));
  header.SetAuthorValue(1, text(""));
  header.SetOrganizationValue(1, text(""));
  header.SetPreprocessorVersion(text("Open CASCADE"));
  header.SetOriginatingSystem(text("garthwright"));
  header.SetAuthorisation(text(""));
  header.SetDescriptionValue(1, text("timber garden structures, mm"));
}

// The translator reports to standard output, which is the caller's.
class Silence {
 public:
  Silence() : kept_(Message::DefaultMessenger()->Printers()) { Message::DefaultMessenger()->ChangePrinters().Clear(); }
  ~Silence() { Message::DefaultMessenger()->ChangePrinters() = kept_; }
  Silence(const Silence&) = delete;
  Silence& operator=(const Silence&) = delete;

 private:
  Message_SequenceOfPrinters kept_;
};

/// The translator numbers the places of parts through the whole life of the process; from 1 in each file they are the
/// same in every run.
void number_places(const Handle(StepData_StepModel) & model) {
  int number = 0;
  for (int i = 1; i <= model->NbEntities(); ++i) {
    const auto place = Handle(StepRepr_NextAssemblyUsageOccurrence)::DownCast(model->Value(i));
    if (!place.IsNull()) place->SetId(text(std::to_string(++number).c_str()));
  }
}

std::string translated(const std::vector<Model>& models) {
  const Silence silence;
  STEPControl_Controller::Init();
  Interface_Static::SetCVal("write.step.schema", "AP214IS");
  Interface_Static::SetCVal("write.step.unit", "MM");
  Interface_Static::SetIVal("write.surfacecurve.mode", 0);  // edges without curves in each surface: half the file
  Document document;
  if (document.add(models) == 0) return {};
  STEPCAFControl_Writer writer;
  writer.SetColorMode(false);  // the translator writes colours in the order of addresses: other bytes in every run
  writer.SetNameMode(true);
  if (!writer.Transfer(document.handle(), STEPControl_AsIs)) return {};
  const Handle(StepData_StepModel) model = writer.ChangeWriter().Model();
  set_header(model);
  number_places(model);
  const auto protocol = Handle(StepData_Protocol)::DownCast(writer.ChangeWriter().WS()->Protocol());
  StepData_StepWriter lines(model);
  lines.SendModel(protocol);
  std::ostringstream out;
  if (!lines.Print(out)) return {};
  return out.str();
}

}  // namespace

Result<std::string> step_bytes(const std::vector<Model>& models) {
  try {
    std::string bytes = translated(models);
    if (!bytes.empty()) return bytes;
    return fail("no-step", "there is no timber to write as STEP", "look at what the check says of the pieces");
  } catch (const Standard_Failure& failure) {
    return fail("no-step", std::string("the kernel cannot write the model: ") + failure.GetMessageString(),
                "look at what the check says of the pieces");
  }
}

}  // namespace garthwright::exchange
