#pragma once

#include <cctype>
#include <set>
#include <string>
#include <string_view>
#include <vector>

/// A strict check of the XML that this project writes: nesting, quoted attributes, each once,
/// entities. No DTD, no CDATA, no comments: the writers make none.
namespace ductledger::test {

/// Empty where the text is one well-formed element, else what is wrong and where.
inline std::string xml_fault(std::string_view text) {
  const auto fault = [](std::string_view what, std::size_t at) {
    return std::string(what) + " at byte " + std::to_string(at);
  };
  const auto is_name = [](char c) {
    return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '-' || c == '_' || c == ':';
  };
  const auto entity_ends = [&](std::size_t at) -> std::size_t {
    static const std::set<std::string, std::less<>> known{
        "&amp;", "&lt;", "&gt;", "&quot;", "&#39;"};
    const std::size_t end = text.find(';', at);
    return end != std::string_view::npos && known.count(text.substr(at, end + 1 - at)) != 0 ? end
                                                                                            : 0;
  };
  std::vector<std::string> open;
  bool had_root = false;
  for (std::size_t i = 0; i < text.size();) {
    if (text[i] != '<') {
      if (open.empty() && std::isspace(static_cast<unsigned char>(text[i])) == 0) {
        return fault("text outside the root", i);
      }
      if (text[i] == '&') {
        const std::size_t end = entity_ends(i);
        if (end == 0) {
          return fault("unknown entity", i);
        }
        i = end;
      }
      ++i;
      continue;
    }
    const bool closing = i + 1 < text.size() && text[i + 1] == '/';
    std::size_t at = i + (closing ? 2 : 1);
    const std::size_t name_at = at;
    while (at < text.size() && is_name(text[at])) {
      ++at;
    }
    const std::string name(text.substr(name_at, at - name_at));
    if (name.empty()) {
      return fault("no element name", i);
    }
    if (closing) {
      if (open.empty() || open.back() != name || at >= text.size() || text[at] != '>') {
        return fault("closing tag does not match", i);
      }
      open.pop_back();
      i = at + 1;
      continue;
    }
    if (open.empty() && had_root) {
      return fault("second root", i);
    }
    had_root = true;
    std::set<std::string> attributes;
    while (at < text.size() && text[at] == ' ') {
      ++at;
      const std::size_t key_at = at;
      while (at < text.size() && is_name(text[at])) {
        ++at;
      }
      if (at == key_at || text.substr(at, 2) != "=\"" ||
          !attributes.emplace(text.substr(key_at, at - key_at)).second) {
        return fault("bad attribute", key_at);
      }
      for (at += 2; at < text.size() && text[at] != '"'; ++at) {
        if (text[at] == '<' || (text[at] == '&' && entity_ends(at) == 0)) {
          return fault("bad attribute value", at);
        }
      }
      ++at;
    }
    if (text.substr(at, 2) == "/>") {
      i = at + 2;
    } else if (at < text.size() && text[at] == '>') {
      open.push_back(name);
      i = at + 1;
    } else {
      return fault("tag does not end", i);
    }
  }
  if (!open.empty()) {
    return "element " + open.back() + " is not closed";
  }
  return had_root ? "" : "no element";
}

}  // namespace ductledger::test
