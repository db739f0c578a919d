/*
 * A disk that tells on itself, laid under a program by LD_PRELOAD. For files below $DISK_FOLDER it
 *   - writes every change to a trace ($DISK_TRACE), in the order in which the changes were made: bytes written, lengths
 *     cut, names made and taken away, files and folders synced. A cut of the power can then be tried at any point of the
 *     trace: what was synced is there, of the rest whatever chance leaves (trace.ts);
 *   - makes each sync last $DISK_SYNC_MICROSECONDS longer, as a slower disk would;
 *   - lets no file grow beyond so many bytes, as a full disk would. The number is read from the file $DISK_ROOM each time,
 *     so that room can be made while the program runs.
 *
 * Trace: records of a header of six 64-bit numbers (kind, file, offset, length, name's length, 0), the name, the bytes.
 * Files go by their inode number. What is written by mapping memory is not seen (SQLite maps only its -shm, which it makes anew).
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <pthread.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/uio.h>
#include <unistd.h>

enum { WRITE = 1, CUT = 2, SYNC = 3, MADE = 4, GONE = 5, FOLDER = 6, RENAMED = 7, SAID = 8 };

static pthread_mutex_t lock = PTHREAD_RECURSIVE_MUTEX_INITIALIZER_NP;
static int trace = -1;
static const char *folder, *room;
static long sync_delay;
static int ready;

#define REAL(name) static __typeof__(&name) real; if (!real) real = (__typeof__(&name))dlsym(RTLD_NEXT, #name)

static int real_open(const char *path, int flags, mode_t mode) {
  REAL(open64);
  return real(path, flags, mode);
}

static void start(void) {
  if (ready) return;
  ready = 1;
  folder = getenv("DISK_FOLDER");
  room = getenv("DISK_ROOM");
  const char *delay = getenv("DISK_SYNC_MICROSECONDS");
  sync_delay = delay ? atol(delay) : 0;
  const char *to = getenv("DISK_TRACE");
  if (to) trace = real_open(to, O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
}

/* The name below the folder; null where the file is not one of ours. The folder itself has the empty name. */
static const char *below(const char *path) {
  start();
  if (!folder) return NULL;
  size_t length = strlen(folder);
  if (strncmp(path, folder, length) != 0) return NULL;
  if (path[length] == 0) return path + length;
  return path[length] == '/' ? path + length + 1 : NULL;
}

static const char *name_of(int fd, char *buffer) {
  char link[64];
  snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
  ssize_t length = readlink(link, buffer, PATH_MAX - 1);
  if (length < 0) return NULL;
  buffer[length] = 0;
  return below(buffer);
}

static uint64_t file_of(int fd) {
  struct stat at;
  return fstat(fd, &at) == 0 ? at.st_ino : 0;
}

static void note(uint64_t kind, uint64_t file, uint64_t offset, const void *bytes, uint64_t length, const char *name) {
  if (trace < 0) return;
  uint64_t head[6] = {kind, file, offset, bytes ? length : 0, strlen(name), 0};
  struct iovec parts[3] = {
      {head, sizeof head}, {(void *)name, strlen(name)}, {(void *)bytes, bytes ? length : 0}};
  ssize_t all = (ssize_t)(parts[0].iov_len + parts[1].iov_len + parts[2].iov_len);
  REAL(writev);
  if (real(trace, parts, 3) != all) abort();
}

/* Whether so many more bytes would be too many. */
static int is_full(int fd, off_t end) {
  if (!room) return 0;
  struct stat at;
  if (fstat(fd, &at) != 0 || end <= at.st_size) return 0;
  int limits = real_open(room, O_RDONLY | O_CLOEXEC, 0);
  if (limits < 0) return 0;
  char text[32] = {0};
  ssize_t got = read(limits, text, sizeof text - 1);
  close(limits);
  return got > 0 && end > atol(text);
}

static ssize_t written(int fd, const void *bytes, size_t length, off_t offset, ssize_t result) {
  char buffer[PATH_MAX];
  const char *name = result > 0 ? name_of(fd, buffer) : NULL;
  if (name && *name) {
    /* What a program says in the file `said` stands in the trace as a mark. */
    if (strcmp(name, "said") == 0) note(SAID, 0, 0, bytes, (uint64_t)result, "");
    else note(WRITE, file_of(fd), (uint64_t)offset, bytes, (uint64_t)result, "");
  }
  return result;
}

static int ours(int fd) {
  char buffer[PATH_MAX];
  return name_of(fd, buffer) != NULL;
}

ssize_t write(int fd, const void *bytes, size_t length) {
  REAL(write);
  start();
  if (fd <= 2 || !folder || !ours(fd)) return real(fd, bytes, length);
  pthread_mutex_lock(&lock);
  off_t offset = lseek(fd, 0, SEEK_CUR);
  if (fcntl(fd, F_GETFL) & O_APPEND) offset = lseek(fd, 0, SEEK_END);
  ssize_t result;
  if (is_full(fd, offset + (off_t)length)) {
    errno = ENOSPC;
    result = -1;
  } else result = written(fd, bytes, length, offset, real(fd, bytes, length));
  pthread_mutex_unlock(&lock);
  return result;
}

ssize_t pwrite64(int fd, const void *bytes, size_t length, off64_t offset) {
  REAL(pwrite64);
  start();
  if (!folder || !ours(fd)) return real(fd, bytes, length, offset);
  pthread_mutex_lock(&lock);
  ssize_t result;
  if (is_full(fd, offset + (off_t)length)) {
    errno = ENOSPC;
    result = -1;
  } else result = written(fd, bytes, length, offset, real(fd, bytes, length, offset));
  pthread_mutex_unlock(&lock);
  return result;
}
ssize_t pwrite(int fd, const void *bytes, size_t length, off_t offset) { return pwrite64(fd, bytes, length, offset); }

int ftruncate64(int fd, off64_t length) {
  REAL(ftruncate64);
  start();
  if (!folder || !ours(fd)) return real(fd, length);
  pthread_mutex_lock(&lock);
  int result = real(fd, length);
  if (result == 0) note(CUT, file_of(fd), (uint64_t)length, NULL, 0, "");
  pthread_mutex_unlock(&lock);
  return result;
}
int ftruncate(int fd, off_t length) { return ftruncate64(fd, length); }

static int synced(int fd, int result) {
  char buffer[PATH_MAX];
  const char *name = result == 0 ? name_of(fd, buffer) : NULL;
  if (name) note(*name ? SYNC : FOLDER, *name ? file_of(fd) : 0, 0, NULL, 0, "");
  return result;
}

/* The lock is held, so that nothing written meanwhile is taken for synced or told before it. */
int fsync(int fd) {
  REAL(fsync);
  start();
  if (!folder || !ours(fd)) return real(fd);
  if (sync_delay) usleep((useconds_t)sync_delay);
  pthread_mutex_lock(&lock);
  int result = synced(fd, real(fd));
  pthread_mutex_unlock(&lock);
  return result;
}
int fdatasync(int fd) {
  REAL(fdatasync);
  start();
  if (!folder || !ours(fd)) return real(fd);
  if (sync_delay) usleep((useconds_t)sync_delay);
  pthread_mutex_lock(&lock);
  int result = synced(fd, real(fd));
  pthread_mutex_unlock(&lock);
  return result;
}

static int opened(const char *path, int flags, mode_t mode) {
  const char *name = below(path);
  if (!name || !(flags & O_CREAT)) return real_open(path, flags, mode);
  pthread_mutex_lock(&lock);
  struct stat at;
  int is_new = stat(path, &at) != 0;
  int fd = real_open(path, flags, mode);
  if (fd >= 0 && is_new) note(MADE, file_of(fd), 0, NULL, 0, name);
  else if (fd >= 0 && (flags & O_TRUNC)) note(CUT, file_of(fd), 0, NULL, 0, "");
  pthread_mutex_unlock(&lock);
  return fd;
}
#define MODE(flags) \
  mode_t mode = 0; \
  if ((flags) & O_CREAT) { va_list rest; va_start(rest, flags); mode = (mode_t)va_arg(rest, int); va_end(rest); }
int open(const char *path, int flags, ...) { MODE(flags) return opened(path, flags, mode); }
int open64(const char *path, int flags, ...) { MODE(flags) return opened(path, flags, mode); }

int unlink(const char *path) {
  REAL(unlink);
  const char *name = below(path);
  if (!name) return real(path);
  pthread_mutex_lock(&lock);
  int result = real(path);
  if (result == 0) note(GONE, 0, 0, NULL, 0, name);
  pthread_mutex_unlock(&lock);
  return result;
}

int rename(const char *from, const char *to) {
  REAL(rename);
  const char *name = below(from), *next = below(to);
  if (!name || !next) return real(from, to);
  pthread_mutex_lock(&lock);
  int result = real(from, to);
  if (result == 0) note(RENAMED, 0, 0, next, strlen(next), name);
  pthread_mutex_unlock(&lock);
  return result;
}
