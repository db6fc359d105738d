#pragma once

#include <stdexcept>
#include <string>

namespace ductledger::base {

/// A precondition of our own code is broken: never the user's fault.
class LogicError : public std::logic_error {
 public:
  LogicError(const char* condition, const char* file, int line)
      : std::logic_error(std::string(condition) + " (" + file + ":" + std::to_string(line) + ")") {}
};

}  // namespace ductledger::base

#define DUCTLEDGER_EXPECTS(condition)                                              \
  do {                                                                             \
    if (!(condition)) {                                                            \
      throw ::ductledger::base::LogicError(#condition, DUCTLEDGER_FILE, __LINE__); \
    }                                                                              \
  } while (false)

// The file's own name only, so that no path of a machine reaches a message.
#if defined(__FILE_NAME__)
#define DUCTLEDGER_FILE __FILE_NAME__
#else
#define DUCTLEDGER_FILE __FILE__
#endif
