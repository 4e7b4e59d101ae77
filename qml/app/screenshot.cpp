// SPDX-License-Identifier: GPL-3.0-or-later
#include "screenshot.h"

#include <QTimer>

namespace holdfast
{

void takeScreenshot(QQuickWindow *window, const QString &path, int waitMs,
                    std::function<void(const Done &)> done)
{
    // The file is opened and laid out on other threads: a picture straight away would show an empty window.
    constexpr int settleMs = 700;
    QTimer::singleShot(waitMs + settleMs, window, [window, path, done = std::move(done)] {
        const QImage picture = window->grabWindow();
        if (picture.isNull())
            done(fail(ErrorKind::Internal, QStringLiteral("The window gave no picture.")));
        else if (!picture.save(path))
            done(
                fail(ErrorKind::Unwritable, QStringLiteral("The picture can't be written to %1.").arg(path)));
        else
            done({});
    });
}

} // namespace holdfast
