#include "document/json_internal.hpp"

#include <cmath>
#include <utility>

#include "base/words.hpp"
#include "document/verdict.hpp"

namespace ductledger::document::json {
namespace {

constexpr auto kSeverityWords = base::words<base::Severity>({{base::Severity::error, "error"},
                                                             {base::Severity::warning, "warning"},
                                                             {base::Severity::note, "note"}});
constexpr const char* word(base::Severity severity) { return kSeverityWords.of(severity); }

Json place(const base::Span& span) {
  if (span.line == 0) {
    return nullptr;
  }
  return {{"line", span.line},
          {"column", span.column},
          {"length", span.length},
          {"byte_offset", span.offset}};
}

Json diagnostic(const base::Diagnostic& from) {
  Json labels = Json::array();
  for (const base::Label& label : from.others) {
    labels.push_back({{"text", label.text}, {"place", place(label.span)}});
  }
  return {{"severity", word(from.severity)},
          {"rule", from.rule},
          {"message", from.message},
          {"file", from.source ? Json(from.source->name()) : Json(nullptr)},
          {"place", place(from.span)},
          {"label", text_or_null(from.label)},
          {"others", std::move(labels)},
          {"notes", from.notes},
          {"help", text_or_null(from.help)}};
}

}  // namespace

Json number(double value) {
  if (!std::isfinite(value)) {
    return nullptr;
  }
  return value == 0.0 ? 0.0 : value;  // no minus zero
}

Json number(const std::optional<double>& value) { return value ? number(*value) : Json(nullptr); }

Json text_or_null(const std::string& text) { return text.empty() ? Json(nullptr) : Json(text); }

Json message_or_null(const units::Message& message) {
  return text_or_null(message.empty() ? "" : message.text(units::System::ip));
}

Json texts(const std::vector<units::Message>& messages) {
  Json all = Json::array();
  for (const units::Message& message : messages) {
    all.push_back(message.text(units::System::ip));
  }
  return all;
}

Json band(const std::optional<result::Band>& from) {
  if (!from) {
    return nullptr;
  }
  return Json::array({number(from->low), number(from->high)});
}

Json diagnostics_array(const base::Diagnostics& diagnostics) {
  Json out = Json::array();
  for (const base::Diagnostic& one : diagnostics) {
    out.push_back(diagnostic(one));
  }
  return out;
}

Json named_values(const std::vector<findings::NamedValue>& values) {
  Json out = Json::object();
  for (const findings::NamedValue& value : values) {
    out[value.key] = number(value.value);
  }
  return out;
}

// Findings speak one unit system in the document, whatever the text view shows.
Json finding(const findings::Finding& from) {
  return {{"level", word(from.level)},
          {"code", from.code},
          {"message", from.message.text(units::System::ip)},
          {"why", text_or_null(from.why.text(units::System::ip))},
          {"observed", named_values(from.observed)},
          {"limit", named_values(from.limit)},
          {"rule", {{"id", nullptr}, {"citation", text_or_null(from.source)}}},
          {"line", from.span.line > 0 ? Json(from.span.line) : Json(nullptr)},
          {"column", from.span.line > 0 ? Json(from.span.column) : Json(nullptr)},
          {"remedy", text_or_null(from.remedy.text(units::System::ip))}};
}

Json verdict_object(const study::CheckResult& result) {
  const Verdict verdict = document::verdict(result);
  return {{"standing", word(verdict.standing)},
          {"finding", verdict.worst == nullptr ? Json(nullptr) : finding(*verdict.worst)}};
}

Json findings_array(const std::vector<findings::Finding>& findings) {
  Json out = Json::array();
  for (const findings::Finding& one : findings) {
    out.push_back(finding(one));
  }
  return out;
}

Json layout_object(const layout::Layout& layout) {
  return {{"title", layout.title}, {"file", layout.file}, {"sha256", layout.sha256}};
}

}  // namespace ductledger::document::json
