#include "engine.hpp"

#include <array>
#include <utility>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "document/branches.hpp"
#include "document/check.hpp"
#include "engine_internal.hpp"
#include "html/shell.hpp"
#include "layout/written_system.hpp"
#include "study/branches.hpp"
#include "text/branches.hpp"
#include "text/check.hpp"

namespace ductledger::engine {
namespace {

document::Record record_of(const Json& request) {
  const std::string fail_on = text_of(request, "fail_on");
  return {DUCTLEDGER_VERSION, fail_on.empty() ? "fail" : fail_on};
}

study::CheckOptions options_of(const Json& request) {
  return {.speed = text_of(request, "speed"), .advise = flag_of(request, "advise")};
}

/// The document that `check --json` prints.
Json check_answer(const Json& request) {
  const document::Record record = record_of(request);
  const auto& catalogue = fitting::Catalogue::built_in();
  auto layout = layout_of(request);
  if (!layout) {
    return document::error_document(layout.error(), record);
  }
  if (!layout->branches.empty()) {
    const auto result = study::check_network(*std::move(layout), catalogue, options_of(request));
    return result ? document::network_document(*result, record)
                  : document::error_document(result.error(), record);
  }
  const auto result = study::check(*std::move(layout), catalogue, options_of(request));
  return result ? document::check_document(*result, record)
                : document::error_document(result.error(), record);
}

/// The answer as the command line prints it.
Json words_answer(const Json& request) {
  auto layout = layout_of(request);
  if (!layout) {
    return refused(layout.error());
  }
  const units::System system = system_for(request, *layout);
  const text::TextOptions shown{.system = system};
  const auto& catalogue = fitting::Catalogue::built_in();
  if (!layout->branches.empty()) {
    const auto result = study::check_network(*std::move(layout), catalogue, options_of(request));
    return result ? Json{{"text", text::network_text(*result, shown)}} : refused(result.error());
  }
  const auto result = study::check(*std::move(layout), catalogue, options_of(request));
  return result ? Json{{"text", text::check_text(*result, shown)}} : refused(result.error());
}

/// The rules by which pages of the project look alike.
Json style_answer(const Json& /*request*/) { return {{"css", html::shared_style()}}; }

struct Ask {
  std::string_view name;
  Json (*answer)(const Json&);
};
constexpr std::array kAsks{Ask{"check", check_answer},
                           Ask{"view", view},
                           Ask{"advice", advice_object},
                           Ask{"difference", difference_object},
                           Ask{"compare", compare_object},
                           Ask{"catalogue", catalogue_object},
                           Ask{"length", length_object},
                           Ask{"quantity", quantity_object},
                           Ask{"starter", starter_object},
                           Ask{"variant", variant_object},
                           Ask{"report", report_object},
                           Ask{"words", words_answer},
                           Ask{"style", style_answer}};

}  // namespace

std::string text_of(const Json& request, std::string_view key) {
  const auto found = request.find(key);
  return found != request.end() && found->is_string() ? found->get<std::string>() : std::string();
}

bool flag_of(const Json& request, std::string_view key) {
  const auto found = request.find(key);
  return found != request.end() && found->is_boolean() && found->get<bool>();
}

std::optional<units::System> system_of(const Json& request) {
  const std::string name = text_of(request, "system");
  if (name == "ip") {
    return units::System::ip;
  }
  if (name == "si") {
    return units::System::si;
  }
  return std::nullopt;
}

units::System system_for(const Json& request, const layout::Layout& layout) {
  const units::System written = layout::written_system(layout);
  const auto asked = system_of(request);
  // A file of m3/h stays with them when metric units are asked for.
  return !asked || (*asked != units::System::ip && written != units::System::ip) ? written : *asked;
}

namespace {

/// The text of a request; in place of `text` a file's bytes, where they are no text.
std::string layout_text(const Json& request, std::string_view key) {
  const auto bytes = request.find("bytes");
  if (key != "text" || bytes == request.end() || !bytes->is_array()) {
    return text_of(request, key);
  }
  std::string text;
  for (const Json& byte : *bytes) {
    text += static_cast<char>(byte.is_number_integer() ? byte.get<int>() : 0);
  }
  return text;
}

}  // namespace

base::Checked<layout::Layout> layout_of(const Json& request, std::string_view key) {
  const std::string file = text_of(request, "file");
  const auto source = std::make_shared<const base::SourceText>(file.empty() ? "layout.yaml" : file,
                                                               layout_text(request, key));
  if (const auto own = layout::catalogue_key(source)) {
    base::Diagnostic diagnostic =
        base::fault("catalogue-not-here",
                    "a page cannot look for the catalogue `" + base::escaped(own->path) + "`",
                    "state the figures at the pieces, or use the command line");
    diagnostic.source = source;
    diagnostic.span = own->span;
    diagnostic.label = "a file beside the layout";
    return diagnostic;
  }
  return layout::read(source, fitting::Catalogue::built_in());
}

base::Checked<study::CheckResult> checked(const Json& request, layout::Layout layout) {
  return study::check_as_single(std::move(layout), catalogue(), options_of(request));
}

Json diagnostics_object(const base::Diagnostics& diagnostics) {
  Json list = Json::array();
  for (const base::Diagnostic& one : diagnostics) {
    list.push_back({{"rule", one.rule},
                    {"level",
                     one.severity == base::Severity::error     ? "error"
                     : one.severity == base::Severity::warning ? "warning"
                                                               : "note"},
                    {"message", one.message},
                    {"label", one.label},
                    {"help", one.help},
                    {"line", one.span.line},
                    {"column", one.span.column},
                    {"length", one.span.length},
                    {"rendered", base::render(one)}});
  }
  return list;
}

Json refused(const base::Diagnostics& diagnostics) {
  return {{"errors", diagnostics_object(diagnostics)}};
}

Json answer(const Json& request) {
  const std::string name = request.is_object() ? text_of(request, "ask") : std::string();
  for (const Ask& one : kAsks) {
    if (one.name == name) {
      return one.answer(request);
    }
  }
  return {{"fault", "no such request: `" + base::escaped(name) + "`"}};
}

std::string answer_text(std::string_view request) {
  const Json read = Json::parse(request, nullptr, false);
  const Json said = read.is_discarded() ? Json{{"fault", "the request is no JSON"}} : answer(read);
  return said.dump(-1, ' ', false, Json::error_handler_t::replace);
}

}  // namespace ductledger::engine
