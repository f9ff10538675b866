/* The time of day, moved by the seconds in the file CLOCK_OFFSET_FILE; the monotonic clock is left alone. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/time.h>
#include <time.h>
static long offset(void) {
    const char *name = getenv("CLOCK_OFFSET_FILE");
    FILE *file = name ? fopen(name, "r") : NULL;
    long found = 0;
    if (file) { if (fscanf(file, "%ld", &found) != 1) found = 0; fclose(file); }
    return found;
}
int clock_gettime(clockid_t id, struct timespec *out) {
    static int (*real)(clockid_t, struct timespec *);
    if (!real) real = dlsym(RTLD_NEXT, "clock_gettime");
    int failed = real(id, out);
    if (!failed && (id == CLOCK_REALTIME || id == CLOCK_REALTIME_COARSE)) out->tv_sec += offset();
    return failed;
}
int gettimeofday(struct timeval *out, void *zone) {
    struct timespec now;
    clock_gettime(CLOCK_REALTIME, &now);
    out->tv_sec = now.tv_sec; out->tv_usec = now.tv_nsec / 1000;
    return 0;
}
time_t time(time_t *out) {
    struct timespec now;
    clock_gettime(CLOCK_REALTIME, &now);
    if (out) *out = now.tv_sec;
    return now.tv_sec;
}
