// SPDX-License-Identifier: Apache-2.0
#include "exchange/step.h"

#include <APIHeaderSection_MakeHeader.hxx>
#include <Interface_Static.hxx>
#include <Message.hxx>
#include <Message_Messenger.hxx>
#include <Message_Printer.hxx>
#include <Quantity_Color.hxx>
#include <STEPCAFControl_Writer.hxx>
#include <STEPConstruct.hxx>
#include <STEPConstruct_Styles.hxx>
#include <STEPControl_Controller.hxx>
#include <Standard_Failure.hxx>
#include <StepData_Protocol.hxx>
#include <StepData_StepModel.hxx>
#include <StepData_StepWriter.hxx>
#include <StepRepr_NextAssemblyUsageOccurrence.hxx>
#include <StepRepr_RepresentationContext.hxx>
#include <StepRepr_RepresentationItem.hxx>
#include <StepVisual_Colour.hxx>
#include <StepVisual_MechanicalDesignGeometricPresentationRepresentation.hxx>
#include <StepVisual_PresentationStyleAssignment.hxx>
#include <StepVisual_StyledItem.hxx>
#include <TCollection_ExtendedString.hxx>
#include <TCollection_HAsciiString.hxx>
#include <TDF_Label.hxx>
#include <TDataStd_Name.hxx>
#include <TDocStd_Document.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS_Shape.hxx>
#include <Transfer_FinderProcess.hxx>
#include <XCAFApp_Application.hxx>
#include <XCAFDoc_DocumentTool.hxx>
#include <XCAFDoc_ShapeTool.hxx>
#include <XSControl_TransferWriter.hxx>
#include <XSControl_WorkSession.hxx>
#include <algorithm>
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
      std::vector<std::pair<std::string, TDF_Label>> groups;  // in the order in which they come
      for (Body body : solid_bodies(*model.structure)) {
        const std::string group = group_name(*model.structure, body);
        if (group.empty()) {
          here += add(model, body, assembly);
          continue;
        }
        auto known = std::find_if(groups.begin(), groups.end(), [&](const auto& g) { return g.first == group; });
        if (known == groups.end()) {
          known = groups.insert(groups.end(), {group, shapes_->NewShape()});
          call(known->second, group);
        }
        here += add(model, body, known->second);
      }
      for (const auto& [group, label] : groups)
        if (shapes_->IsAssembly(label)) call(shapes_->AddComponent(assembly, label, TopLoc_Location()), group);
      if (here > 0)
        call(shapes_->AddComponent(garden, assembly, location(garden_frame(*model.structure))), model.structure->name);
      bodies += here;
    }
    shapes_->UpdateAssemblies();
    return bodies;
  }

  /// One thing by itself.
  int add_alone(const Model& model, Body body) {
    const TopoDS_Shape& shape = model.solids->shape(body);
    if (!TopExp_Explorer(shape, TopAbs_SOLID).More()) return 0;
    call(part(model, body, shape), part_name(*model.structure, body));
    return 1;
  }

  /// Every thing that is made once, with its tone, in the order in which they came.
  struct Part {
    const TopoDS_Shape* shape;
    Tone tone;
  };
  const std::vector<Part>& parts() const { return in_order_; }

  const Handle(TDocStd_Document) & handle() const { return document_; }

 private:
  int add(const Model& model, Body body, const TDF_Label& assembly) {
    const TopoDS_Shape& shape = model.solids->shape(body);
    if (!TopExp_Explorer(shape, TopAbs_SOLID).More()) return 0;
    const Frame& frame = frame_of(*model.structure, body);
    call(shapes_->AddComponent(assembly, part(model, body, shape), location(frame)),
         instance_name(*model.structure, body));
    return 1;
  }

  TDF_Label part(const Model& model, Body body, const TopoDS_Shape& shape) {
    const auto [known, fresh] = parts_.try_emplace(&shape);
    if (fresh) {
      known->second = shapes_->AddShape(shape, false);
      call(known->second, part_name(*model.structure, body));
      in_order_.push_back({&shape, tone(*model.structure, body)});
    }
    return known->second;
  }

  Handle(TDocStd_Document) document_;
  Handle(XCAFDoc_ShapeTool) shapes_;
  std::map<const TopoDS_Shape*, TDF_Label> parts_;
  std::vector<Part> in_order_;
};

Handle(TCollection_HAsciiString) text(const char* words) { return new TCollection_HAsciiString(words); }

std::string in_ascii(std::string words) {
  for (char& letter : words)
    if (letter < 0x20 || letter > 0x7E) letter = '_';
  return words;
}

// The translator puts the clock and the host into the header; a file that is to be the same tomorrow has neither.
void set_header(const Handle(StepData_StepModel) & model, const StepAbout& about) {
  const std::string day = about.date.size() == 10 ? about.date : "1970-01-01";
  APIHeaderSection_MakeHeader header(model);
  header.SetName(text(in_ascii(about.name).c_str()));
  header.SetTimeStamp(text((in_ascii(day) + "T00:00:00").c_str()));
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

/// A colour for every part. The translator would write them in the order of addresses, other bytes in every run; so
/// each is set here, in the order of the parts.
void colour(const Handle(XSControl_WorkSession) & session, const std::vector<Document::Part>& parts) {
  STEPConstruct_Styles styles(session);
  for (const Document::Part& part : parts) {
    const Handle(StepRepr_RepresentationContext) context = styles.FindContext(*part.shape);
    if (context.IsNull()) continue;
    const Quantity_Color tone(part.tone.red, part.tone.green, part.tone.blue, Quantity_TOC_RGB);
    const Handle(StepVisual_Colour) ink = STEPConstruct_Styles::EncodeColor(tone);
    styles.ClearStyles();
    for (TopExp_Explorer one(*part.shape, TopAbs_SOLID); one.More(); one.Next()) {
      const Handle(StepRepr_RepresentationItem) item =
          STEPConstruct::FindEntity(session->TransferWriter()->FinderProcess(), one.Current());
      if (!item.IsNull()) styles.AddStyle(item, styles.MakeColorPSA(item, ink, ink, ink, 0), nullptr);
    }
    if (styles.NbStyles() == 0) continue;
    Handle(StepVisual_MechanicalDesignGeometricPresentationRepresentation) set;
    styles.CreateMDGPR(context, set);
    if (!set.IsNull()) session->Model()->AddWithRefs(set);
  }
}

std::string translated(const std::vector<Model>& models, const StepAbout& about) {
  const Silence silence;
  STEPControl_Controller::Init();
  Interface_Static::SetCVal("write.step.schema", "AP214IS");
  Interface_Static::SetCVal("write.step.unit", "MM");
  Interface_Static::SetIVal("write.surfacecurve.mode", 0);  // edges without curves in each surface: half the file
  Document document;
  if (about.only) {
    if (models.empty() || document.add_alone(models.front(), *about.only) == 0) return {};
  } else if (document.add(models) == 0) {
    return {};
  }
  STEPCAFControl_Writer writer;
  writer.SetColorMode(false);
  writer.SetNameMode(true);
  if (!writer.Transfer(document.handle(), STEPControl_AsIs)) return {};
  const Handle(StepData_StepModel) model = writer.ChangeWriter().Model();
  colour(writer.ChangeWriter().WS(), document.parts());
  set_header(model, about);
  number_places(model);
  const auto protocol = Handle(StepData_Protocol)::DownCast(writer.ChangeWriter().WS()->Protocol());
  StepData_StepWriter lines(model);
  lines.SendModel(protocol);
  std::ostringstream out;
  if (!lines.Print(out)) return {};
  return out.str();
}

}  // namespace

Result<std::string> step_bytes(const std::vector<Model>& models, const StepAbout& about) {
  try {
    std::string bytes = translated(models, about);
    if (!bytes.empty()) return bytes;
    return fail("no-step", "there is no timber to write as STEP", "look at what the check says of the pieces");
  } catch (const Standard_Failure& failure) {
    return fail("no-step", std::string("the kernel cannot write the model: ") + failure.GetMessageString(),
                "look at what the check says of the pieces");
  }
}

}  // namespace garthwright::exchange
