/* Makes each fsync and fdatasync take longer, as on a worn flash disk. Loaded with LD_PRELOAD. */

#define _GNU_SOURCE
#include <dlfcn.h>
#include <stdlib.h>
#include <time.h>

static void take_longer(void)
{
    const char *wanted = getenv("SLOW_SYNC_MS");
    long long ns = (wanted ? atoll(wanted) : 0) * 1000000LL;
    struct timespec left = {ns / 1000000000LL, ns % 1000000000LL};
    nanosleep(&left, NULL);
}

int fsync(int file)
{
    int (*real)(int) = (int (*)(int))dlsym(RTLD_NEXT, "fsync");
    take_longer();
    return real(file);
}

int fdatasync(int file)
{
    int (*real)(int) = (int (*)(int))dlsym(RTLD_NEXT, "fdatasync");
    take_longer();
    return real(file);
}
