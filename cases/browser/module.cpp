#include "cases/live/answer.hpp"

#include <cstddef>
#include <cstdlib>
#include <new>
#include <string>

/// What the WebAssembly module offers a page: text in by address and length, text out by address
/// and length, one model after another. The page frees what it allocated.
namespace {

#define PLENAIR_EXPORT(name) extern "C" __attribute__((export_name(name)))

plenair::LiveModel* model = nullptr;
std::string answer_text;

std::string text_at(const char* text, std::size_t length) {
    return {text, length};
}

}  // namespace

/// Room for a text that the page writes.
PLENAIR_EXPORT("allocate") char* plenair_allocate(std::size_t length) {
    return static_cast<char*>(std::malloc(length));
}

PLENAIR_EXPORT("release") void plenair_release(char* text) {
    std::free(text);
}

/// A model of this case; it replaces the one before.
PLENAIR_EXPORT("open_model")
void plenair_open_model(const char* text,
                        std::size_t length,
                        const char* name,
                        std::size_t name_length) {
    delete model;
    model = new plenair::LiveModel(text_at(text, length), text_at(name, name_length));
}

/// Answers a request; the text stands at answer_address() until the next one.
PLENAIR_EXPORT("answer") std::size_t plenair_answer(const char* request, std::size_t length) {
    answer_text = model->answer(text_at(request, length));
    return answer_text.size();
}

PLENAIR_EXPORT("answer_address") const char* plenair_answer_address() {
    return answer_text.data();
}
