#include "batch_output.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <chrono>
#include <cstdio>
#include <fstream>
#include <iterator>
#include <system_error>
#include <utility>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "files.hpp"

namespace ductledger::app {
namespace {

using base::fault;
using document::RowFormat;

// A call that is ended loses no more than these.
constexpr std::size_t kHeldBytes = 1U << 16U;
constexpr std::chrono::milliseconds kHeldFor{300};

bool is_there(const std::string& path, bool& regular) {
  struct stat file {};
  const bool there = stat(path.c_str(), &file) == 0;
  regular = there && S_ISREG(file.st_mode);
  return there;
}

/// What an output that was broken off holds.
struct Held {
  std::vector<document::RowKey> keys;
  off_t bytes = 0;  ///< of whole rows
};

base::Diagnostic of_another_call(const std::string& path, const std::string& why) {
  return fault("other-output",
               fmt::format("`{}` cannot be gone on from: {}", base::escaped(path), why),
               "it was written by another call; without `--resume` it is written anew");
}

base::Checked<Held> held_in(const std::string& path, const document::RowText& text) {
  std::ifstream file(path, std::ios::binary);
  if (!file) {
    return fault("cannot-read", fmt::format("`{}` cannot be read", base::escaped(path)));
  }
  Held held;
  std::string head = text.head();
  std::size_t lines = 0;
  // A last line without its end was being written when the call was ended.
  for (std::string line; std::getline(file, line) && !file.eof(); ++lines) {
    line += '\n';
    if (!head.empty()) {
      if (line != head) {
        return of_another_call(path, "its columns are not those asked for");
      }
      head.clear();
    } else {
      std::vector<document::RowKey> keys = document::keys_in(line, text.format());
      if (keys.empty()) {
        return of_another_call(path, fmt::format("line {} is no row", lines + 1));
      }
      if (text.format() == RowFormat::jsonl && lines == 0) {
        const std::vector<std::string> names = document::names_in(line);
        const auto same = [](const std::string& name, const document::ColumnHead& column) {
          return name == column.name;
        };
        if (!std::equal(
                names.begin(), names.end(), text.columns().begin(), text.columns().end(), same)) {
          return of_another_call(path, "its columns are not those asked for");
        }
      }
      if (text.format() == RowFormat::columns && keys.size() < document::kBlockRows) {
        break;  // a last block that is not full is filled up anew
      }
      held.keys.insert(held.keys.end(),
                       std::make_move_iterator(keys.begin()),
                       std::make_move_iterator(keys.end()));
    }
    held.bytes += static_cast<off_t>(line.size());
  }
  return held;
}

}  // namespace

struct RowsOutput::File {
  std::string path;
  std::string part;  ///< empty: written as it is, a device or standard output
  int descriptor = -1;
  off_t whole = 0;  ///< bytes up to the end of the last whole row
  std::size_t rows = 0;
  int error = 0;  ///< of the system
  std::string waiting;
  std::chrono::steady_clock::time_point flushed = std::chrono::steady_clock::now();

  File() = default;
  File(const File&) = delete;
  File& operator=(const File&) = delete;
  ~File() {
    if (descriptor > STDERR_FILENO) {
      close(descriptor);
    }
  }

  bool flush() {
    flushed = std::chrono::steady_clock::now();
    const Written written = write_all(descriptor, waiting);
    const std::size_t end = std::string_view(waiting).substr(0, written.bytes).rfind('\n');
    whole += end == std::string_view::npos ? 0 : static_cast<off_t>(end + 1);
    waiting.clear();
    error = written.error;
    return error == 0;
  }

  /// The part, for this call alone.
  [[nodiscard]] base::Diagnostics open_part() {
    descriptor = ::open(part.c_str(), O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, mode_for(path));
    if (descriptor < 0 || fchmod(descriptor, mode_for(path)) != 0) {
      return {cannot_write(part, errno)};
    }
    if (flock(descriptor, LOCK_EX | LOCK_NB) != 0) {
      return {fault("in-use",
                    fmt::format("`{}` is being written by another call", base::escaped(part)))};
    }
    return {};
  }

  /// The whole rows of a shorter list, into the part.
  [[nodiscard]] base::Diagnostics copy_whole() const {
    std::ifstream list(path, std::ios::binary);
    std::string block(kHeldBytes, '\0');
    for (off_t left = whole; left > 0;) {
      const auto some = std::min<off_t>(left, static_cast<off_t>(block.size()));
      list.read(block.data(), some);
      const Written written =
          write_all(descriptor, std::string_view(block).substr(0, static_cast<std::size_t>(some)));
      if (!list || written.error != 0) {
        return {cannot_write(part, written.error)};
      }
      left -= some;
    }
    return {};
  }
};

RowsOutput::RowsOutput(document::RowText text)
    : text_(std::move(text)), file_(std::make_unique<File>()) {}
RowsOutput::RowsOutput(RowsOutput&&) noexcept = default;
RowsOutput& RowsOutput::operator=(RowsOutput&&) noexcept = default;
RowsOutput::~RowsOutput() = default;

base::Checked<RowsOutput> RowsOutput::open(const Wanted& wanted, document::RowText text) {
  RowsOutput out(std::move(text));
  File& file = *out.file_;
  file.path = wanted.path;
  if (file.path == "-") {
    file.descriptor = STDOUT_FILENO;
  } else {
    if (base::Diagnostics refused = cannot_take(file.path); !refused.empty()) {
      return refused;
    }
    if (base::Diagnostics unopened = out.open_file(wanted.start); !unopened.empty()) {
      return unopened;
    }
  }
  if (file.whole == 0) {
    file.waiting = out.text_.head();
  }
  return out;
}

base::Diagnostics RowsOutput::open_file(Start start) {
  File& file = *file_;
  bool regular = false;
  if (is_there(file.path, regular) && !regular) {
    file.descriptor = ::open(file.path.c_str(), O_WRONLY | O_CLOEXEC);
    return file.descriptor < 0 ? base::Diagnostics{cannot_write(file.path, errno)}
                               : base::Diagnostics();
  }
  file.part = file.path + ".part";
  bool part_there = false;
  (void)is_there(file.part, part_there);
  if (base::Diagnostics unopened = file.open_part(); !unopened.empty()) {
    return unopened;
  }
  if (start == Start::resume && (part_there || regular)) {
    base::Diagnostics faults = take_held(part_there ? file.part : file.path);
    if (!faults.empty()) {
      if (!part_there) {
        unlink(file.part.c_str());
      }
      return faults;
    }
  }
  if (ftruncate(file.descriptor, file.whole) != 0 || lseek(file.descriptor, 0, SEEK_END) < 0) {
    return {cannot_write(file.part, errno)};
  }
  return {};
}

base::Diagnostics RowsOutput::take_held(const std::string& from) {
  auto held = held_in(from, text_);
  if (!held) {
    return std::move(held).error();
  }
  file_->whole = held->bytes;
  file_->rows = held->keys.size();
  there_ = std::move(held->keys);
  return from == file_->part ? base::Diagnostics() : file_->copy_whole();
}

bool RowsOutput::write(const std::string& text) {
  File& file = *file_;
  file.waiting += text;
  return file.waiting.size() < kHeldBytes &&
                 std::chrono::steady_clock::now() - file.flushed < kHeldFor
             ? true
             : file.flush();
}

bool RowsOutput::add(document::RowText::Cells cells) {
  ++file_->rows;
  return write(text_.add(std::move(cells)));
}

base::Diagnostics RowsOutput::finish() {
  File& file = *file_;
  file.waiting += file.error == 0 ? text_.end() : "";
  if (file.error != 0 || !file.flush()) {
    if (file.path == "-") {
      return file.error == EPIPE  // whoever read has seen enough
                 ? base::Diagnostics()
                 : base::Diagnostics{
                       fault("cannot-write",
                             fmt::format("standard output cannot be written: {}",
                                         std::generic_category().message(file.error)))};
    }
    base::Diagnostic out = cannot_write(file.path, file.error);
    if (const std::string part = abandon(); !part.empty()) {
      out.help = fmt::format(
          "`{}` holds the rows that were written; the same call with `--resume` goes on behind "
          "them",
          base::escaped(part));
    }
    return {out};
  }
  if (file.part.empty()) {
    return {};
  }
  if (base::Diagnostics refused = cannot_take(file.path); !refused.empty()) {
    return refused;
  }
  const Uninterrupted uninterrupted;
  const int closed = close(std::exchange(file.descriptor, -1));
  if (closed != 0 || std::rename(file.part.c_str(), file.path.c_str()) != 0) {
    return {cannot_write(file.path, errno)};
  }
  return {};
}

std::string RowsOutput::abandon() {
  File& file = *file_;
  if (file.part.empty()) {
    return "";
  }
  if (file.error == 0) {
    (void)file.flush();
  }
  const bool any_row = file.whole > static_cast<off_t>(text_.head().size());
  if (!any_row || ftruncate(file.descriptor, file.whole) != 0) {
    unlink(file.part.c_str());
    return "";
  }
  return file.part;
}

}  // namespace ductledger::app
