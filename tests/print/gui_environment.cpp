// SPDX-License-Identifier: GPL-3.0-or-later
#include <QGuiApplication>
#include <gtest/gtest.h>
#include <memory>

namespace
{

/// Fonts and painters need a QGuiApplication; the tests run it without a screen.
class GuiEnvironment : public testing::Environment
{
public:
    void SetUp() override
    {
        if (qEnvironmentVariableIsEmpty("QT_QPA_PLATFORM"))
            qputenv("QT_QPA_PLATFORM", "offscreen");
        m_app = std::make_unique<QGuiApplication>(m_argumentCount, m_arguments);
    }
    void TearDown() override { m_app.reset(); }

private:
    int m_argumentCount = 1;
    char m_name[12] = "print_tests";
    char *m_arguments[2] = {m_name, nullptr};
    std::unique_ptr<QGuiApplication> m_app;
};

const auto *const environment = testing::AddGlobalTestEnvironment(new GuiEnvironment);

} // namespace
