// Writes the catalogue's files into one C++ source, at build time:
//   embed_catalogue FOLDER OUTPUT.cpp [MODULE]
// MODULE names the namespace that gets `embedded_files`, `fitting` when left out. Each file is
// parsed here and stored as its tree. Texts become raw string pieces below the length that every
// compiler takes.
#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <sstream>
#include <string>
#include <vector>

#include "fitting/embedded_internal.hpp"
#include "yaml/parse.hpp"

namespace {

using ductledger::base::SourceText;
using ductledger::yaml::Node;

constexpr std::size_t kPiece = 8000;
constexpr std::string_view kDelimiter = "catalogue";

std::string scalar(const Node& root, const char* key) {
  const Node* node = root.find(key);
  return node == nullptr ? std::string() : node->text;
}

void write_pieces(std::ostream& out, const std::string& text) {
  for (std::size_t start = 0; start < text.size(); start += kPiece) {
    out << "\n    R\"" << kDelimiter << '(' << text.substr(start, kPiece) << ')' << kDelimiter
        << '"';
  }
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 3 && argc != 4) {
    std::cerr << "usage: embed_catalogue FOLDER OUTPUT.cpp [MODULE]\n";
    return 2;
  }
  const std::string module = argc == 4 ? argv[3] : "fitting";
  const std::filesystem::path root = argv[1];
  std::vector<std::string> paths;
  for (const auto& file : std::filesystem::recursive_directory_iterator(root)) {
    if (file.path().extension() == ".yaml") {
      paths.push_back(file.path().lexically_relative(root).generic_string());
    }
  }
  std::sort(paths.begin(), paths.end());

  std::ostringstream texts;
  std::ostringstream rows;
  ductledger::base::Sha256 hash;
  for (std::size_t i = 0; i < paths.size(); ++i) {
    std::ifstream in(root / paths[i], std::ios::binary);
    std::ostringstream content;
    content << in.rdbuf();
    const auto tree =
        ductledger::yaml::parse(std::make_shared<const SourceText>(paths[i], content.str()));
    if (!tree) {
      std::cerr << ductledger::base::render(tree.error());
      return 1;
    }
    const std::string text = ductledger::fitting::encoded(tree->root);
    if (text.size() > 60000 ||
        text.find(std::string(")") + std::string(kDelimiter)) != std::string::npos) {
      std::cerr << paths[i] << " is too long to be embedded, or holds the delimiter\n";
      return 1;
    }
    const bool holds_fittings =
        !scalar(tree->root, "kind").empty() || !scalar(tree->root, "table").empty();
    if (holds_fittings) {
      ductledger::fitting::add_content(hash, text);
    }
    texts << "constexpr char kText" << i << "[] =";
    write_pieces(texts, text);
    texts << ";\n";
    rows << "    {\"" << paths[i] << "\", \"" << scalar(tree->root, "kind") << "\", \""
         << scalar(tree->root, "type") << "\", \"" << scalar(tree->root, "table") << "\", {kText"
         << i << ", sizeof(kText" << i << ") - 1}},\n";
  }

  std::ofstream out(argv[2], std::ios::binary);
  out << "// Written by embed_catalogue.\n#include <array>\n\n"
         "#include \"fitting/embedded_internal.hpp\"\n\nnamespace ductledger::"
      << module
      << " {\n"
         "using fitting::EmbeddedFile;\n"
         "std::span<const EmbeddedFile> embedded_files() noexcept;\n"
         "std::string_view embedded_hash() noexcept;\n"
         "namespace {\n\n"
      << texts.str() << "\nconstexpr std::array<EmbeddedFile, " << paths.size() << "> kFiles{{\n"
      << rows.str()
      << "}};\n\n}  // namespace\n\n"
         "std::span<const EmbeddedFile> embedded_files() noexcept { return kFiles; }\n"
         "std::string_view embedded_hash() noexcept {\n  return \""
      << hash.hex() << "\";\n}\n\n}  // namespace ductledger\n";
  out.close();
  return out ? 0 : 1;
}
