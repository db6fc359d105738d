#include "document/rows.hpp"

#include <nlohmann/json.hpp>
#include <utility>

#include "base/text.hpp"

namespace ductledger::document {
namespace {

using Json = nlohmann::ordered_json;

std::string dumped(const Json& value) {
  return base::escaped_beyond_ascii(value.dump(-1, ' ', false, Json::error_handler_t::replace));
}

std::string csv_cell(const Json& value) {
  if (value.is_null()) {
    return "";
  }
  const std::string text =
      value.is_string() ? base::escaped(value.get_ref<const std::string&>()) : dumped(value);
  if (text.find_first_of(",\"") == std::string::npos) {
    return text;
  }
  std::string out = "\"";
  for (const char letter : text) {
    out.append(letter == '"' ? 2 : 1, letter);
  }
  return out + '"';
}

/// The cell of a CSV line at a place, which goes on behind it.
std::string next_cell(const std::string& line, std::size_t& at) {
  std::string cell;
  bool quoted = false;
  for (; at < line.size(); ++at) {
    if (line[at] == '"') {
      const bool twice = quoted && at + 1 < line.size() && line[at + 1] == '"';
      quoted = twice || !quoted;
      if (!twice) {
        continue;
      }
      ++at;
    } else if (!quoted && (line[at] == ',' || line[at] == '\r')) {
      ++at;
      return cell;
    }
    cell += line[at];
  }
  return cell;
}

}  // namespace

RowText::RowText(std::vector<ColumnHead> columns, RowFormat format)
    : columns_(std::move(columns)), format_(format), block_(columns_.size()) {}

std::string RowText::head() const {
  if (format_ == RowFormat::jsonl) {
    return "";
  }
  if (format_ == RowFormat::columns) {
    Json types = Json::object();
    for (const ColumnHead& column : columns_) {
      types[column.name] = word(column.type);
    }
    return dumped({{"columns", std::move(types)}}) + '\n';
  }
  std::string line;
  for (const ColumnHead& column : columns_) {
    line += (line.empty() ? "" : ",") + csv_cell(column.name);
  }
  return line + "\r\n";
}

RowText::Cells RowText::cells(const Row& row) const {
  if (format_ == RowFormat::columns) {
    Cells out;
    out.reserve(row.size());
    for (const Json& value : row) {
      out.push_back(dumped(value));
    }
    return out;
  }
  if (format_ == RowFormat::jsonl) {
    Json object = Json::object();
    for (std::size_t i = 0; i < row.size(); ++i) {
      object[columns_[i].name] = row[i];
    }
    return {dumped(object) + '\n'};
  }
  std::string line;
  for (std::size_t i = 0; i < row.size(); ++i) {
    line += (i == 0 ? "" : ",") + csv_cell(row[i]);
  }
  return {line + "\r\n"};
}

std::string RowText::add(Cells cells) {
  if (format_ != RowFormat::columns) {
    return std::move(cells.front());
  }
  for (std::size_t i = 0; i < cells.size(); ++i) {
    block_[i] += (in_block_ == 0 ? "" : ",") + cells[i];
  }
  return ++in_block_ == kBlockRows ? end() : std::string();
}

std::string RowText::end() {
  if (in_block_ == 0) {
    return "";
  }
  std::string line = "{";
  for (std::size_t i = 0; i < columns_.size(); ++i) {
    line += (i == 0 ? "" : ",") + dumped(columns_[i].name) + ":[" + block_[i] + ']';
    block_[i].clear();
  }
  in_block_ = 0;
  return line + "}\n";
}

std::string RowText::read_back(const std::string& text) const {
  return format_ == RowFormat::csv ? base::escaped(text)
                                   : Json::parse(dumped(text)).get<std::string>();
}

std::vector<RowKey> keys_in(const std::string& line, RowFormat format) {
  if (format == RowFormat::csv) {
    std::size_t at = 0;
    std::string name = next_cell(line, at);
    std::string status = next_cell(line, at);
    return status.empty() ? std::vector<RowKey>() : std::vector<RowKey>{{name, status}};
  }
  const Json object = Json::parse(line, nullptr, false);
  if (!object.is_object() || object.size() < 2) {
    return {};
  }
  const Json& names = object.begin().value();
  const Json& statuses = std::next(object.begin()).value();
  std::vector<RowKey> out;
  const auto add = [&](const Json& name, const Json& status) {
    if (name.is_string() && status.is_string()) {
      out.push_back({name.get<std::string>(), status.get<std::string>()});
    }
  };
  if (format == RowFormat::jsonl) {
    add(names, statuses);
  } else if (names.is_array() && statuses.is_array() && names.size() == statuses.size()) {
    for (std::size_t i = 0; i < names.size(); ++i) {
      add(names[i], statuses[i]);
    }
  }
  return out;
}

std::vector<std::string> names_in(const std::string& line) {
  const Json object = Json::parse(line, nullptr, false);
  std::vector<std::string> out;
  if (object.is_object()) {
    for (const auto& [name, value] : object.items()) {
      out.push_back(name);
    }
  }
  return out;
}

}  // namespace ductledger::document
