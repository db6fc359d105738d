#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <exception>
#include <string>
#include <string_view>

#include "engine.hpp"

// What a page calls. Texts are UTF-8 in the engine's own memory; the page asks for room, writes its
// request there, and reads the answer before it asks again.

#define DUCTLEDGER_EXPORT(name) extern "C" __attribute__((export_name(name), visibility("default")))

extern "C" __attribute__((import_module("page"), import_name("fault"))) void page_fault(
    const char* words, std::size_t length);

namespace {

std::string& answer_of_last() {
  static std::string text;
  return text;
}

}  // namespace

DUCTLEDGER_EXPORT("room") char* ductledger_room(std::size_t bytes) {
  return static_cast<char*>(std::malloc(bytes == 0 ? 1 : bytes));
}
DUCTLEDGER_EXPORT("release") void ductledger_release(char* at) { std::free(at); }
/// @return where the answer stands; `length` tells how long it is
DUCTLEDGER_EXPORT("ask") const char* ductledger_ask(const char* request, std::size_t length) {
  answer_of_last() = ductledger::engine::answer_text({request, length});
  return answer_of_last().data();
}
DUCTLEDGER_EXPORT("length") std::size_t ductledger_length() { return answer_of_last().size(); }

// Nothing is caught in a page: a broken promise of our own code ends the engine, with its words.
extern "C" {

void* __cxa_allocate_exception(std::size_t bytes) { return std::malloc(bytes); }
void __cxa_free_exception(void* at) { std::free(at); }
[[noreturn]] void __cxa_throw(void* thrown, void* /*type*/, void (* /*destroy*/)(void*)) {
  // All that the library throws is a `std::exception`, first among its bases.
  const std::string_view words = static_cast<const std::exception*>(thrown)->what();
  page_fault(words.data(), words.size());
  std::abort();
}
}
