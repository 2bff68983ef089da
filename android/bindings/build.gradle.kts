plugins {
    alias(libs.plugins.kotlin.jvm)
}

kotlin {
    jvmToolchain(17)
}

dependencies {
    // The app brings the phone's own build of it.
    compileOnly(libs.jna)
}
