#include "dsp/real_fft.h"

#include <cassert>
#include <new>
#include <stdexcept>

#include <kissfft/kiss_fftr.h>

namespace bellhand::dsp {

namespace {

bool is_smooth(int length) {
    for (int factor : {2, 3, 5}) {
        while (length % factor == 0)
            length /= factor;
    }
    return length == 1;
}

} // namespace

struct RealFft::Plans {
    kiss_fftr_cfg forward = nullptr;
    kiss_fftr_cfg inverse = nullptr;

    explicit Plans(int length)
        : forward(kiss_fftr_alloc(length, 0, nullptr, nullptr)),
          inverse(kiss_fftr_alloc(length, 1, nullptr, nullptr)) {}
    ~Plans() {
        kiss_fftr_free(forward);
        kiss_fftr_free(inverse);
    }
    Plans(const Plans&) = delete;
    Plans& operator=(const Plans&) = delete;
};

RealFft::RealFft(int length) : length_(length) {
    if (length <= 0 || length % 2 != 0 || !is_smooth(length))
        throw std::invalid_argument(
            "Fourier transform length must be even with no prime factor above 5");
    plans_ = std::make_unique<Plans>(length);
    if (plans_->forward == nullptr || plans_->inverse == nullptr)
        throw std::bad_alloc();
}

RealFft::~RealFft() = default;
RealFft::RealFft(RealFft&&) noexcept = default;
RealFft& RealFft::operator=(RealFft&&) noexcept = default;

// std::complex<float> and kiss_fft_cpx are both two adjacent floats, real part first ([complex.numbers.general]).
static_assert(sizeof(kiss_fft_cpx) == sizeof(std::complex<float>));

void RealFft::forward(std::span<const float> in, std::span<std::complex<float>> out) noexcept {
    assert(static_cast<int>(in.size()) == length_ && static_cast<int>(out.size()) == bins());
    kiss_fftr(plans_->forward, in.data(), reinterpret_cast<kiss_fft_cpx*>(out.data()));
}

void RealFft::inverse(std::span<const std::complex<float>> in, std::span<float> out) noexcept {
    assert(static_cast<int>(in.size()) == bins() && static_cast<int>(out.size()) == length_);
    kiss_fftri(plans_->inverse, reinterpret_cast<const kiss_fft_cpx*>(in.data()), out.data());
}

} // namespace bellhand::dsp
