// Writes the rule files into one C++ source, at build time:
//   embed_rules FOLDER OUTPUT.cpp
#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <sstream>
#include <string>
#include <vector>

int main(int argc, char** argv) {
  if (argc != 3) {
    std::cerr << "usage: embed_rules FOLDER OUTPUT.cpp\n";
    return 2;
  }
  const std::string end = ")rules";
  std::vector<std::filesystem::path> paths;
  for (const auto& file : std::filesystem::directory_iterator(argv[1])) {
    if (file.path().extension() == ".yaml") {
      paths.push_back(file.path());
    }
  }
  std::sort(paths.begin(), paths.end());
  std::ofstream out(argv[2], std::ios::binary);
  out << "// Written from lib/rules/data/ by embed_rules.\n#include <array>\n\n"
         "#include \"rules/read_internal.hpp\"\n\nnamespace ductledger::rules {\n"
         "namespace {\n\nconstexpr std::array<EmbeddedRuleFile, "
      << paths.size() << "> kFiles{{\n";
  for (const std::filesystem::path& path : paths) {
    std::ifstream in(path, std::ios::binary);
    std::ostringstream content;
    content << in.rdbuf();
    const std::string text = content.str();
    // Longer strings are not taken by every compiler.
    if (text.size() > 60000 || text.find(end) != std::string::npos) {
      std::cerr << path << " is too long to be embedded, or holds `" << end << "`\n";
      return 1;
    }
    out << "    {\"" << path.filename().generic_string() << "\", R\"rules(" << text << end
        << "\"},\n";
  }
  out << "}};\n\n}  // namespace\n\n"
         "std::span<const EmbeddedRuleFile> embedded_rule_files() noexcept { return kFiles; }\n\n"
         "}  // namespace ductledger::rules\n";
  out.close();
  return out ? 0 : 1;
}
