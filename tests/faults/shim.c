/* Preloaded before the C library: lets one call of one kind fail, once, as a full disk, a lack of
 * memory or of threads would. Calls are counted from the beginning of main.
 *
 *   PLENAIR_FAULT_CALL    write, rename, fsync, flock, open, close, truncate, read, seek, mkdir,
 *                         unlink, allocate, thread
 *   PLENAIR_FAULT_AT      which of them fails, from 1; 0: none
 *   PLENAIR_FAULT_COUNTS  file that gets "call count" lines at the end
 *
 * There are far more allocations than places in the program that make them. A place is the chain of
 * its innermost callers, by library and offset, so that it is the same in every run.
 *
 *   PLENAIR_FAULT_PLACES  file that gets a line "place library" for each place of an allocation, in
 *                         the order in which they came; library: of the innermost caller that is
 *                         not the C or the C++ library
 *   PLENAIR_FAULT_PLACE   the first allocation of this place fails
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <execinfo.h>
#include <fcntl.h>
#include <link.h>
#include <pthread.h>
#include <stdarg.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <sys/types.h>
#include <sys/uio.h>
#include <unistd.h>

enum kind { write_call, rename_call, fsync_call, flock_call, open_call, close_call, truncate_call,
            read_call, seek_call, mkdir_call, unlink_call, allocate_call, thread_call, kinds };
static const char* const names[kinds] = {"write", "rename", "fsync", "flock", "open", "close",
                                         "truncate", "read", "seek", "mkdir", "unlink",
                                         "allocate", "thread"};
static const int reasons[kinds] = {ENOSPC, EACCES, EIO, ENOLCK, EMFILE, EIO, ENOSPC,
                                   EIO, ESPIPE, EACCES, EACCES, ENOMEM, EAGAIN};

static atomic_long counts[kinds];
static atomic_int armed;
static int chosen = -1;
static long at = 0;

enum { most_libraries = 128, most_places = 1 << 16, callers = 4, own_frames = 3 };

struct library {
    ElfW(Addr) begin, end;
    char name[64];
    int of_language; /* the C or the C++ library, or this one */
};
static struct library libraries[most_libraries];
static int library_count;

struct place {
    unsigned long number; /* 0: none */
    int library, order;
};
static struct place places[most_places];
static int place_count;
static pthread_mutex_t places_lock = PTHREAD_MUTEX_INITIALIZER;
static int noting;
static unsigned long chosen_place;
static __thread int looking __attribute__((tls_model("initial-exec")));

static int note_library(struct dl_phdr_info* info, size_t size, void* data) {
    (void)size;
    (void)data;
    for (int i = 0; i < info->dlpi_phnum && library_count < most_libraries; ++i) {
        const ElfW(Phdr)* part = &info->dlpi_phdr[i];
        if (part->p_type != PT_LOAD || !(part->p_flags & PF_X)) {
            continue;
        }
        struct library* made = &libraries[library_count++];
        made->begin = info->dlpi_addr + part->p_vaddr;
        made->end = made->begin + part->p_memsz;
        const char* slash = strrchr(info->dlpi_name, '/');
        const char* name = slash ? slash + 1 : info->dlpi_name;
        snprintf(made->name, sizeof made->name, "%s", *name ? name : "program");
        made->of_language = strncmp(made->name, "libc.", 5) == 0 ||
                            strncmp(made->name, "libstdc++.", 10) == 0 ||
                            strncmp(made->name, "ld-linux", 8) == 0 || strstr(made->name, "shim");
    }
    return 0;
}

static int library_at(void* address) {
    const ElfW(Addr) at = (ElfW(Addr))address;
    for (int i = 0; i < library_count; ++i) {
        if (at >= libraries[i].begin && at < libraries[i].end) {
            return i;
        }
    }
    return -1;
}

/* The place of this allocation; its library, -1 where none is known. */
static unsigned long place_of_caller(int* owner) {
    void* frames[callers + own_frames];
    const int count = backtrace(frames, callers + own_frames);
    unsigned long number = 1469598103934665603UL; /* FNV-1a */
    int passed_own = 0;
    *owner = -1;
    for (int i = 0; i < count; ++i) {
        const int library = library_at(frames[i]);
        const int shim = library >= 0 && strstr(libraries[library].name, "shim") != NULL;
        if (shim && !passed_own) {
            continue;
        }
        passed_own = 1;
        const unsigned long offset =
            library < 0 ? 0 : (unsigned long)frames[i] - libraries[library].begin;
        number = (number ^ (offset + ((unsigned long)(library + 1) << 48))) * 1099511628211UL;
        if (*owner < 0 && library >= 0 && !libraries[library].of_language) {
            *owner = library;
        }
    }
    return number ? number : 1;
}

static void note_place(unsigned long number, int owner) {
    pthread_mutex_lock(&places_lock);
    unsigned long slot = number % most_places;
    while (places[slot].number && places[slot].number != number) {
        slot = (slot + 1) % most_places;
    }
    if (!places[slot].number && place_count < most_places / 2) {
        places[slot] = (struct place){number, owner, place_count++};
    }
    pthread_mutex_unlock(&places_lock);
}

/* Whether this allocation is the first of the chosen place. */
static int fails_at_place(void) {
    if ((!noting && !chosen_place) || looking || !atomic_load(&armed)) {
        return 0;
    }
    looking = 1;
    int owner = -1;
    const unsigned long number = place_of_caller(&owner);
    looking = 0;
    if (noting) {
        note_place(number, owner);
    }
    static atomic_int failed;
    if (number != chosen_place || atomic_exchange(&failed, 1)) {
        return 0;
    }
    chosen_place = 0;
    errno = ENOMEM;
    return 1;
}

/* Standard streams stand apart: what they do not take has tests of its own. */
static int fails(enum kind kind) {
    if (!atomic_load(&armed)) {
        return 0;
    }
    const long number = atomic_fetch_add(&counts[kind], 1) + 1;
    if ((int)kind != chosen || number != at) {
        return 0;
    }
    errno = reasons[kind];
    return 1;
}

#define REAL(name) \
    static __typeof__(&name) real = 0; \
    if (!real) real = (__typeof__(&name))dlsym(RTLD_NEXT, #name)

ssize_t write(int file, const void* bytes, size_t size) {
    REAL(write);
    return file > STDERR_FILENO && fails(write_call) ? -1 : real(file, bytes, size);
}
ssize_t pwrite(int file, const void* bytes, size_t size, off_t place) {
    REAL(pwrite);
    return fails(write_call) ? -1 : real(file, bytes, size, place);
}
ssize_t pwrite64(int file, const void* bytes, size_t size, off64_t place) {
    REAL(pwrite64);
    return fails(write_call) ? -1 : real(file, bytes, size, place);
}
ssize_t writev(int file, const struct iovec* pieces, int count) {
    REAL(writev);
    return file > STDERR_FILENO && fails(write_call) ? -1 : real(file, pieces, count);
}
int rename(const char* from, const char* to) {
    REAL(rename);
    return fails(rename_call) ? -1 : real(from, to);
}
int fsync(int file) {
    REAL(fsync);
    return fails(fsync_call) ? -1 : real(file);
}
int flock(int file, int operation) {
    REAL(flock);
    return fails(flock_call) ? -1 : real(file, operation);
}
int open(const char* path, int flags, ...) {
    REAL(open);
    va_list more;
    va_start(more, flags);
    const mode_t mode = flags & (O_CREAT | O_TMPFILE) ? va_arg(more, mode_t) : 0;
    va_end(more);
    return fails(open_call) ? -1 : real(path, flags, mode);
}
int open64(const char* path, int flags, ...) {
    REAL(open64);
    va_list more;
    va_start(more, flags);
    const mode_t mode = flags & (O_CREAT | O_TMPFILE) ? va_arg(more, mode_t) : 0;
    va_end(more);
    return fails(open_call) ? -1 : real(path, flags, mode);
}
FILE* fopen(const char* path, const char* mode) {
    REAL(fopen);
    return fails(open_call) ? NULL : real(path, mode);
}
FILE* fopen64(const char* path, const char* mode) {
    REAL(fopen64);
    return fails(open_call) ? NULL : real(path, mode);
}
/* A file whose closing fails is closed all the same. */
int close(int file) {
    REAL(close);
    const int failed = file > STDERR_FILENO && fails(close_call);
    const int result = real(file);
    if (failed) {
        errno = EIO;
        return -1;
    }
    return result;
}
int ftruncate(int file, off_t size) {
    REAL(ftruncate);
    return fails(truncate_call) ? -1 : real(file, size);
}
int ftruncate64(int file, off64_t size) {
    REAL(ftruncate64);
    return fails(truncate_call) ? -1 : real(file, size);
}
ssize_t read(int file, void* bytes, size_t size) {
    REAL(read);
    return file > STDERR_FILENO && fails(read_call) ? -1 : real(file, bytes, size);
}
ssize_t pread(int file, void* bytes, size_t size, off_t place) {
    REAL(pread);
    return fails(read_call) ? -1 : real(file, bytes, size, place);
}
ssize_t pread64(int file, void* bytes, size_t size, off64_t place) {
    REAL(pread64);
    return fails(read_call) ? -1 : real(file, bytes, size, place);
}
off_t lseek(int file, off_t place, int from) {
    REAL(lseek);
    return file > STDERR_FILENO && fails(seek_call) ? -1 : real(file, place, from);
}
off64_t lseek64(int file, off64_t place, int from) {
    REAL(lseek64);
    return file > STDERR_FILENO && fails(seek_call) ? -1 : real(file, place, from);
}
int mkdir(const char* path, mode_t mode) {
    REAL(mkdir);
    return fails(mkdir_call) ? -1 : real(path, mode);
}
int unlink(const char* path) {
    REAL(unlink);
    return fails(unlink_call) ? -1 : real(path);
}
int remove(const char* path) {
    REAL(remove);
    return fails(unlink_call) ? -1 : real(path);
}
int posix_fallocate(int file, off_t place, off_t size) {
    REAL(posix_fallocate);
    return fails(truncate_call) ? ENOSPC : real(file, place, size);
}
int posix_fallocate64(int file, off64_t place, off64_t size) {
    REAL(posix_fallocate64);
    return fails(truncate_call) ? ENOSPC : real(file, place, size);
}
int pthread_create(pthread_t* thread,
                   const pthread_attr_t* attributes,
                   void* (*work)(void*),
                   void* argument) {
    REAL(pthread_create);
    return fails(thread_call) ? EAGAIN : real(thread, attributes, work, argument);
}

/* glibc's own names: dlsym allocates, and would call back into these. */
extern void* __libc_malloc(size_t);
extern void* __libc_calloc(size_t, size_t);
extern void* __libc_realloc(void*, size_t);
void* malloc(size_t size) {
    return fails(allocate_call) || fails_at_place() ? NULL : __libc_malloc(size);
}
void* calloc(size_t count, size_t size) {
    return fails(allocate_call) || fails_at_place() ? NULL : __libc_calloc(count, size);
}
void* realloc(void* memory, size_t size) {
    return fails(allocate_call) || fails_at_place() ? NULL : __libc_realloc(memory, size);
}

static void report(void) {
    atomic_store(&armed, 0);
    const char* path = getenv("PLENAIR_FAULT_COUNTS");
    FILE* file = path ? fopen(path, "w") : NULL;
    if (file) {
        for (int kind = 0; kind < kinds; ++kind) {
            fprintf(file, "%s %ld\n", names[kind], atomic_load(&counts[kind]));
        }
        fclose(file);
    }
    const char* places_path = getenv("PLENAIR_FAULT_PLACES");
    file = places_path ? fopen(places_path, "w") : NULL;
    for (int order = 0; file && order < place_count; ++order) {
        for (int slot = 0; slot < most_places; ++slot) {
            if (places[slot].number && places[slot].order == order) {
                fprintf(file, "%lx %s\n", places[slot].number,
                        places[slot].library < 0 ? "none" : libraries[places[slot].library].name);
                break;
            }
        }
    }
    if (file) {
        fclose(file);
    }
}

static int (*real_main)(int, char**, char**);

static int counted_main(int count, char** words, char** environment) {
    const char* call = getenv("PLENAIR_FAULT_CALL");
    const char* number = getenv("PLENAIR_FAULT_AT");
    for (int kind = 0; call && kind < kinds; ++kind) {
        if (strcmp(call, names[kind]) == 0) {
            chosen = kind;
        }
    }
    at = number ? atol(number) : 0;
    const char* place = getenv("PLENAIR_FAULT_PLACE");
    chosen_place = place ? strtoul(place, NULL, 16) : 0;
    noting = getenv("PLENAIR_FAULT_PLACES") != NULL;
    if (noting || chosen_place) {
        void* first[1];
        backtrace(first, 1); /* which allocates in its first call */
        dl_iterate_phdr(note_library, NULL);
    }
    atexit(report);
    atomic_store(&armed, 1);
    return real_main(count, words, environment);
}

int __libc_start_main(int (*main)(int, char**, char**),
                      int count,
                      char** words,
                      void (*init)(void),
                      void (*fini)(void),
                      void (*linker_fini)(void),
                      void* stack_end) {
    int (*real)(int (*)(int, char**, char**), int, char**, void (*)(void), void (*)(void),
                void (*)(void), void*) = dlsym(RTLD_NEXT, "__libc_start_main");
    real_main = main;
    return real(counted_main, count, words, init, fini, linker_fini, stack_end);
}
