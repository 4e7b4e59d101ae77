// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/held_file.h"

#include <QFile>

#include <cerrno>
#include <cstring>
#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>
#include <utility>

namespace holdfast
{

namespace
{

/// Whether the file that is open is still the one under its name: who held it before may have removed it
/// between our opening and our locking.
bool isStillThere(int descriptor, const QByteArray &path)
{
    struct stat open {
    };
    struct stat named {
    };
    return ::fstat(descriptor, &open) == 0 && ::stat(path.constData(), &named) == 0 &&
           open.st_dev == named.st_dev && open.st_ino == named.st_ino;
}

} // namespace

Result<HeldFile> HeldFile::take(const QString &path)
{
    const QByteArray name = QFile::encodeName(path);
    const auto unwritable = [&path](int problem) {
        return fail(ErrorKind::Unwritable, QStringLiteral("%1 can't be made and locked: %2.")
                                               .arg(path, QString::fromLocal8Bit(std::strerror(problem))));
    };
    for (;;) {
        const int descriptor = ::open(name.constData(), O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, 0666);
        if (descriptor < 0)
            return unwritable(errno);
        if (::flock(descriptor, LOCK_EX | LOCK_NB) != 0) {
            const int problem = errno;
            ::close(descriptor);
            if (problem == EINTR)
                continue;
            if (problem == EWOULDBLOCK)
                return fail(ErrorKind::Busy, QStringLiteral("%1 is held by another program.").arg(path));
            return unwritable(problem);
        }
        if (isStillThere(descriptor, name))
            return HeldFile(name, descriptor);
        ::close(descriptor);
    }
}

HeldFile::HeldFile(HeldFile &&other) noexcept
    : m_path(std::move(other.m_path)), m_descriptor(std::exchange(other.m_descriptor, -1))
{
}

HeldFile &HeldFile::operator=(HeldFile &&other) noexcept
{
    if (this != &other) {
        letGo();
        m_path = std::move(other.m_path);
        m_descriptor = std::exchange(other.m_descriptor, -1);
    }
    return *this;
}

HeldFile::~HeldFile()
{
    letGo();
}

void HeldFile::letGo()
{
    if (m_descriptor < 0)
        return;
    // Removed while it is still locked: nobody can take over a file that is about to go.
    ::unlink(m_path.constData());
    ::close(m_descriptor);
    m_descriptor = -1;
}

} // namespace holdfast
