// For Android Studio. The builds of this clone go through Maven and `cargo xtask android`; these files name the same versions
// and folders, which a test compares. They were never run where this is written.
pluginManagement {
    repositories {
        google()
        mavenCentral()
        gradlePluginPortal()
    }
}

dependencyResolutionManagement {
    repositories {
        google()
        mavenCentral()
    }
}

rootProject.name = "dooryard"
include(":bindings", ":kit", ":app")
