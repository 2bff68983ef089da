plugins {
    alias(libs.plugins.kotlin.jvm)
}

kotlin {
    jvmToolchain(17)
}

dependencies {
    api(project(":bindings"))
    implementation(libs.zxing)
    testImplementation(libs.jna)
    testImplementation(libs.gson)
    testImplementation(libs.junit)
}
