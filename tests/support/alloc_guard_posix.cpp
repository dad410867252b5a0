#include "support/alloc_guard.h"

namespace bellhand::test {

namespace {

// Plain thread-local data of the program itself: reaching it neither allocates nor locks.
thread_local int depth = 0;
thread_local ForbiddenCalls counted;

} // namespace

RealTimeScope::RealTimeScope() noexcept : before_(counted) {
    ++depth;
}
RealTimeScope::~RealTimeScope() {
    --depth;
}

ForbiddenCalls RealTimeScope::calls() const noexcept {
    return {counted.allocations - before_.allocations,
            counted.frees - before_.frees,
            counted.locks - before_.locks,
            counted.file_calls - before_.file_calls};
}

#ifdef BELLHAND_SANITIZED

bool RealTimeScope::available() noexcept {
    return false;
}

} // namespace bellhand::test

#else

bool RealTimeScope::available() noexcept {
    return true;
}

} // namespace bellhand::test

#    include <cerrno>
#    include <cstdarg>
#    include <cstddef>
#    include <cstdio>
#    include <cstdlib>

#    include <dlfcn.h>
#    include <fcntl.h>
#    include <pthread.h>
#    include <semaphore.h>
#    include <unistd.h>

namespace {

using bellhand::test::counted;
using bellhand::test::depth;

void allocation() noexcept {
    counted.allocations += depth > 0 ? 1 : 0;
}
void lock() noexcept {
    counted.locks += depth > 0 ? 1 : 0;
}
void file_call() noexcept {
    counted.file_calls += depth > 0 ? 1 : 0;
}

/// The definition that this program hides. Looked up once a function; the first call may come before main.
template <typename Function>
Function* next(const char* name) noexcept {
    void* found = dlsym(RTLD_NEXT, name);
    if (found == nullptr) {
        std::abort();
    }
    return reinterpret_cast<Function*>(found);
}

} // namespace

// The names, types and exception specifications are the C library's.
extern "C" {

void* __libc_malloc(std::size_t);
void* __libc_calloc(std::size_t, std::size_t);
void* __libc_realloc(void*, std::size_t);
void* __libc_memalign(std::size_t, std::size_t);
void __libc_free(void*);

void* malloc(std::size_t size) noexcept {
    allocation();
    return __libc_malloc(size);
}

void* calloc(std::size_t count, std::size_t size) noexcept {
    allocation();
    return __libc_calloc(count, size);
}

void* realloc(void* old, std::size_t size) noexcept {
    allocation();
    return __libc_realloc(old, size);
}

void* memalign(std::size_t alignment, std::size_t size) noexcept {
    allocation();
    return __libc_memalign(alignment, size);
}

void* aligned_alloc(std::size_t alignment, std::size_t size) noexcept {
    allocation();
    return __libc_memalign(alignment, size);
}

int posix_memalign(void** out, std::size_t alignment, std::size_t size) noexcept {
    allocation();
    void* block = __libc_memalign(alignment, size);
    if (block == nullptr) {
        return ENOMEM;
    }
    *out = block;
    return 0;
}

void free(void* block) noexcept {
    counted.frees += depth > 0 && block != nullptr ? 1 : 0;
    __libc_free(block);
}

int pthread_mutex_lock(pthread_mutex_t* mutex) noexcept {
    static auto* const real = next<int(pthread_mutex_t*)>("pthread_mutex_lock");
    lock();
    return real(mutex);
}

int pthread_rwlock_rdlock(pthread_rwlock_t* rwlock) noexcept {
    static auto* const real = next<int(pthread_rwlock_t*)>("pthread_rwlock_rdlock");
    lock();
    return real(rwlock);
}

int pthread_rwlock_wrlock(pthread_rwlock_t* rwlock) noexcept {
    static auto* const real = next<int(pthread_rwlock_t*)>("pthread_rwlock_wrlock");
    lock();
    return real(rwlock);
}

int pthread_cond_wait(pthread_cond_t* condition, pthread_mutex_t* mutex) {
    static auto* const real = next<int(pthread_cond_t*, pthread_mutex_t*)>("pthread_cond_wait");
    lock();
    return real(condition, mutex);
}

int sem_wait(sem_t* semaphore) {
    static auto* const real = next<int(sem_t*)>("sem_wait");
    lock();
    return real(semaphore);
}

int open(const char* path, int flags, ...) {
    static auto* const real = next<int(const char*, int, ...)>("open");
    file_call();
    std::va_list rest;
    va_start(rest, flags);
    const mode_t mode = (flags & O_CREAT) != 0 ? va_arg(rest, mode_t) : 0;
    va_end(rest);
    return real(path, flags, mode);
}

ssize_t read(int file, void* into, std::size_t size) {
    static auto* const real = next<ssize_t(int, void*, std::size_t)>("read");
    file_call();
    return real(file, into, size);
}

ssize_t write(int file, const void* from, std::size_t size) {
    static auto* const real = next<ssize_t(int, const void*, std::size_t)>("write");
    file_call();
    return real(file, from, size);
}

std::FILE* fopen(const char* path, const char* mode) {
    static auto* const real = next<std::FILE*(const char*, const char*)>("fopen");
    file_call();
    return real(path, mode);
}

std::size_t fwrite(const void* from, std::size_t size, std::size_t count, std::FILE* file) {
    static auto* const real =
        next<std::size_t(const void*, std::size_t, std::size_t, std::FILE*)>("fwrite");
    file_call();
    return real(from, size, count, file);
}

} // extern "C"

#endif
